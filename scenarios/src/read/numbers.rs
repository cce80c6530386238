//! The numbers of one part of a scenario, each as it is written or else as usual.
//!
//! Knows how a list of numbers is gone through; the parts know what each is called and what is usual.

use frytub_sim::numbers::{NumberInfo, Range};

use crate::fields::{self, Fields, Node};
use crate::known::Known;
use crate::mistakes::Findings;

/// How a number is asked for.
pub(super) struct Asked {
    /// Its name in the file.
    pub key: &'static str,
    /// How to write it where it must be written; may be empty elsewhere.
    pub example: &'static str,
    /// What is taken when the file does not say it; `None` if it must be said.
    pub usual: Option<Known>,
}

/// Reads number after number of a table; goes on whatever is wrong, so that all mistakes come out.
pub(super) struct Reader<'t, 'a, 'f> {
    table: Fields<'t, 'a>,
    findings: &'f mut Findings,
    is_complete: bool,
}

impl<'t, 'a, 'f> Reader<'t, 'a, 'f> {
    pub fn new(table: Fields<'t, 'a>, findings: &'f mut Findings) -> Self {
        Self { table, findings, is_complete: true }
    }

    /// The number as written, or as usual; where something is wrong with it, a stand-in that [`Self::whole`] refuses.
    pub fn number(&mut self, info: &NumberInfo, asked: Asked) -> Known {
        self.number_by(info, asked, plain)
    }

    /// The same for a number that may be written in words of its own, which `value` knows.
    pub fn number_by(
        &mut self,
        info: &NumberInfo,
        asked: Asked,
        value: impl FnOnce(&Node<'_>, &NumberInfo, &mut Findings) -> Option<Known>,
    ) -> Known {
        let known = match (self.table.get(asked.key), asked.usual) {
            (Some(node), _) => value(node, info, self.findings),
            (None, None) => {
                self.table.need(asked.key, asked.example, self.findings);
                None
            }
            (None, usual) => usual,
        };
        self.is_complete &= known.is_some();
        known.unwrap_or_else(|| Known::by_file(Range::certain(info.least)))
    }

    /// The number if it is written, and sound.
    pub fn given(&mut self, info: &NumberInfo, key: &str) -> Option<Known> {
        let node = self.table.get(key)?;
        let known = plain(node, info, self.findings);
        self.is_complete &= known.is_some();
        known
    }

    /// What was made of the numbers; `None` if something was wrong with one of them.
    pub fn whole<N>(self, numbers: N) -> Option<N> {
        self.is_complete.then_some(numbers)
    }
}

/// A number with its unit, or a range of it.
pub(super) fn plain(node: &Node<'_>, info: &NumberInfo, findings: &mut Findings) -> Option<Known> {
    fields::range(node, info, findings).map(Known::by_file)
}
