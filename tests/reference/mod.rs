//! Everything that frytub is held against and did not write itself: published equations and tables, reference libraries,
//! closed forms.
//!
//! `checks/` lists what is compared with what, one file a check. The tables beside this file were made by the Python
//! script that each names in its first line, with the versions pinned in `requirements.txt` and repeated there;
//! `tests/reference/remake` makes them all anew and compares.

mod checks;
mod chemistry;
mod disc;
mod draws;
mod harm;
mod intervals;
mod queues;
mod ranges;
mod sensitivity;
pub mod sinking;
mod survival;
mod tubes;
mod water;

/// A table's rows as numbers, and the index of each named column.
struct Table {
    columns: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Table {
    fn read(text: &str) -> Self {
        let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes());
        let columns = reader.headers().expect("a header").iter().map(str::to_owned).collect();
        let number = |cell: &str| cell.parse().unwrap_or_else(|_| panic!("{cell:?} is not a number"));
        let rows = reader.records().map(|row| row.expect("a row").iter().map(number).collect());
        Self { columns, rows: rows.collect() }
    }

    /// The rows, each cut down to the named columns.
    fn columns<const N: usize>(&self, names: [&str; N]) -> Vec<[f64; N]> {
        let at = names.map(|name| {
            self.columns.iter().position(|column| column == name).unwrap_or_else(|| panic!("no column {name}"))
        });
        self.rows.iter().map(|row| at.map(|index| row[index])).collect()
    }
}
