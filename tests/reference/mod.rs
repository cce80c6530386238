//! Formulae of the model held against published equations as other people's libraries compute them.
//!
//! The tables beside this file were made by the Python script that each names in its first line, with the versions
//! pinned in `requirements.txt` and repeated there. Run a script in this folder to make its tables anew.

mod chemistry;
mod intervals;
pub mod sinking;
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
