//! From results to a table, CSV files, charts and one HTML report.
