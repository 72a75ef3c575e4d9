//! Stages of the grass and situations: shown on the terminal only.
use super::Shelf;
use super::page::{Block, Line, Page, Section};
use super::pen::Pen;
use crate::knowledge::Kind;
use crate::knowledge::form::lists::{Situation, Stage};
use crate::words::or_list;

/// Makes the page of a stage.
pub fn page(shelf: &Shelf<'_>, stage: &Stage) -> Page {
    let mut pen = Pen::new(shelf.book, "");
    let mut page = super::blank(&pen, Kind::Stage, &stage.id, None);
    page.lead.push(Line::plain(stage.help.clone()));
    page.lead.extend(also(&stage.aliases));
    if stage.young {
        page.lead.push(Line::plain(
            "New grass: limits on its age have to be known to be kept.",
        ));
    }
    let pairs = pen
        .figure(
            "Not before",
            "weeks after seeding or sodding",
            stage.least_weeks.as_ref(),
        )
        .into_iter()
        .collect();
    page.sections
        .extend(Section::new("Its age", None, vec![Block::Pairs { pairs }]));
    super::finish(page, &mut pen)
}

/// Makes the page of a situation: the cautions that turn on it.
pub fn situation(shelf: &Shelf<'_>, situation: &Situation) -> Page {
    let mut pen = Pen::new(shelf.book, "");
    let mut page = super::blank(&pen, Kind::Situation, &situation.id, None);
    page.lead
        .extend(situation.question.as_ref().map(Line::plain));
    page.lead.extend(also(&situation.aliases));
    let lines = shelf
        .book
        .cautions
        .iter()
        .filter(|c| c.when.situations.iter().any(|s| s == &situation.id))
        .map(|c| pen.words(c.text.clone(), &c.source).about(Some(&c.about)))
        .collect();
    page.sections
        .extend(Section::new("Cautions", None, vec![Block::lines(lines)]));
    super::finish(page, &mut pen)
}

fn also(aliases: &[String]) -> Option<Line> {
    (!aliases.is_empty()).then(|| Line::plain(format!("Also typed {}.", or_list(aliases))))
}
