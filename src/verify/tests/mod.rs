//! Packages built by hand, good ones and ones with a single thing broken, and what the inspector says of them.

mod breaks;
mod changes;
mod courses;
mod damage;
mod good;
mod languages;
mod promises;
mod safety;
mod sample;
mod together;
mod turned;
mod variants;
mod zips;
