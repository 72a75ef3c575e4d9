//! `ligule key`: the fixed key on paper, as a page for the phone, as a graph, or measured.
use super::identify::{Subject, region, subject};
use super::output::{Outcome, hand_on, load};
use super::progress::Working;
use anyhow::Result;
use clap::{Args, ValueEnum};
use ligule::choose::Request;
use ligule::key::book::What;
use ligule::key::graph::QuestionGraph;
use ligule::knowledge::Knowledge;
use ligule::knowledge::sketches::Sketches;
use ligule::paper::{Carried, For, dot, page, text};
use std::path::Path;

/// Forms of the key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Form {
    /// Numbered steps to carry on paper
    #[default]
    Text,
    /// One page that works on a phone without network, and prints with drawings
    Html,
    /// A graph in the DOT language
    Dot,
}

#[derive(Debug, Args)]
pub struct Arguments {
    /// How to print the key
    #[arg(long, value_enum, default_value_t)]
    format: Form,
    /// Only plants that are seen in this month
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=12), value_name = "1..12")]
    month: Option<u8>,
    /// Only plants that are common in this region
    #[arg(long, value_name = "ID")]
    region: Option<String>,
    /// Your grass: plants that need the same on it are not parted any further
    #[arg(long, value_name = "ID")]
    turf: Option<String>,
    /// Weeds, or lawn grasses
    #[arg(long, value_enum, default_value_t)]
    what: Subject,
    /// Lines of a printed page; 0 for no pages
    #[arg(long, default_value_t = 60, value_name = "N")]
    lines: usize,
    /// Print how many steps the key takes instead of the key
    #[arg(long)]
    measure: bool,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let book = load(folder)?;
    let what = subject(&book, arguments.what)?;
    let sketches = sketches(folder);
    // Of no lawn grass the book says when and where it is seen, so a region that was settled once tells nothing here.
    let asked = match what {
        What::Weeds => asked(arguments, &book)?,
        What::Turf => For::default(),
    };
    let working = Working::on("making the key");
    let (key, graph) = Carried::of(&book, what, &asked, &sketches);
    graph.check()?;
    drop(working);
    let text = match (arguments.measure, arguments.format) {
        (true, _) => measured(&graph, &key.taxon_words),
        (false, Form::Text) => text::text(&key, arguments.lines),
        (false, Form::Html) => page::html(&book, &key, &sketches)?,
        (false, Form::Dot) => dot::dot(&book, &graph, &key),
    };
    hand_on(&text)?;
    Ok(Outcome::Fine)
}

/// The drawings beside the knowledge in use; what cannot be shown is told and left out.
pub fn sketches(folder: Option<&Path>) -> Sketches {
    let Some(dir) = folder else {
        return Sketches::embedded();
    };
    let (sketches, faults) = Sketches::from_folder(dir);
    for fault in faults {
        eprintln!("ligule: {fault}");
    }
    sketches
}

fn asked(arguments: &Arguments, book: &Knowledge) -> Result<For> {
    Ok(For {
        month: arguments.month,
        region: arguments
            .region
            .as_deref()
            .map(|r| region(book, r))
            .transpose()?,
        lawn: arguments
            .turf
            .as_deref()
            .map(|turf| Request::new(&[], turf).check(book))
            .transpose()?
            .map(|lawn| Request {
                month: arguments.month,
                ..lawn
            }),
    })
}

fn measured(key: &QuestionGraph, taxa: &str) -> String {
    let steps = key.steps();
    format!(
        "{} {taxa}, {} nodes\nsteps to an end: {:.1} expected, {} at worst\nends: {} with one name, {} with several\n",
        key.taxa.len(),
        steps.nodes,
        steps.expected,
        steps.worst,
        steps.single_ends,
        steps.shared_ends
    )
}
