//! The table of what printers reach: made from its data, and checked against figures and searches that share no code with it.

mod brute;
mod data;
mod figures;
mod table;
