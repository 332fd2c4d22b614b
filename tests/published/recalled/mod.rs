//! Grade `memory`: handbook tables and examples recalled, the documents not opened. Their support is that physics
//! reproduces them over whole columns; a check here guards against slips of unit and method, it proves no table.

mod boiling_points;
mod condenser_roof;
mod field;
mod line_capacity;
mod oil_return;
mod strength;
mod worked_line_examples;
