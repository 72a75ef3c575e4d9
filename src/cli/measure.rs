//! `ligule measure`: one command for each calculation. Figures are typed as they stand on the label or
//! on the tape, with their units; the answer comes with its working.
mod run;

use super::output::Format;
use clap::{Args, Subcommand, ValueEnum};
use ligule::measure::State;
use std::path::PathBuf;

pub use run::run;

/// Reckon areas, sprayers, spreaders and amounts, with the working shown
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
    /// How to print the answer
    #[arg(long, global = true, value_enum, default_value_t)]
    pub format: Format,
}

/// Is the product weighed or poured?
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Product {
    /// Granules and powders
    Dry,
    /// Everything that is poured
    Liquid,
}

impl From<Product> for State {
    fn from(product: Product) -> Self {
        match product {
            Product::Dry => State::Dry,
            Product::Liquid => State::Liquid,
        }
    }
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a figure or a range in another unit: `"2.5 pt/A" --to "fl oz/1000 sq ft"`
    Convert {
        /// The figure
        #[arg(allow_hyphen_values = true)]
        figure: String,
        /// The unit wanted
        #[arg(long, value_name = "UNIT")]
        to: String,
    },
    /// Area of a lawn: `"80 ft x 60 ft" "circle radius 30 ft" --without "40 ft x 30 ft"`
    Area {
        /// Shapes to add up; with --answers, names of areas
        #[arg(required_unless_present = "answers")]
        shapes: Vec<String>,
        /// The named areas of this answers file: all of them, or those named
        #[arg(long, value_name = "FILE", conflicts_with = "without")]
        answers: Option<PathBuf>,
        /// Shapes to take away: house, drive, beds
        #[arg(long, value_name = "SHAPE")]
        without: Vec<String>,
        /// The unit wanted
        #[arg(long = "in", value_name = "UNIT")]
        unit: Option<String>,
    },
    /// Length of a 1/128-acre course, on which fluid ounces caught are gallons per acre
    Course {
        /// Width of the spray: the swath, or the spacing of one nozzle
        #[arg(long)]
        width: String,
    },
    /// Spray volume from water caught or used on a measured course or area
    Calibrate(Calibrate),
    /// Walking speed
    Speed {
        /// Distance walked
        #[arg(long)]
        distance: String,
        /// Time it took; repeat for a mean
        #[arg(long, required = true)]
        time: Vec<String>,
    },
    /// Spray volume, flow or speed of a nozzle from the other two; with a pressure, which setting gives the label's volume
    Nozzle(Nozzle),
    /// Flow at another pressure, or the pressure for another flow
    Pressure {
        /// Flow that is known
        #[arg(long)]
        flow: String,
        /// Pressure at that flow
        #[arg(long)]
        pressure: String,
        /// The other pressure or the other flow
        #[arg(long)]
        to: String,
    },
    /// Compare the nozzles of a boom
    Nozzles {
        /// What each nozzle gave in the same time
        #[arg(required = true)]
        catches: Vec<String>,
        /// Deviation in percent above which a tip is to be cleaned or changed (common practice: 5 or 10)
        #[arg(long, default_value = "10")]
        limit: String,
    },
    /// Area that a tank covers
    Tank {
        /// Volume of the tank
        #[arg(long)]
        tank: String,
        /// Spray volume per area
        #[arg(long)]
        volume: String,
    },
    /// Spreading rate from a strip, a pan or the weight that left the hopper
    Spreader(Spreader),
    /// What goes into a volume of spray: `"0.25 % v/v" --spray "3 gal"`
    Dilute(Dilute),
    /// Product for an area, and with a spray volume the tank loads
    Mix(Mix),
    /// Active ingredient, acid equivalent and product turned into each other
    Active(Active),
    /// Cost of a treatment, packs, what is left over
    Cost(Cost),
    /// Split a price among neighbours by area
    Share {
        /// Areas, one for each neighbour
        #[arg(required = true)]
        areas: Vec<String>,
        /// The price to split
        #[arg(long)]
        price: String,
    },
    /// Control expected of two or more partners from each alone: `--alone 62 --alone 50`
    Expected {
        /// Control by one partner alone, in percent; repeat for each
        #[arg(long, required = true)]
        alone: Vec<String>,
        /// Control observed with all of them together, in percent
        #[arg(long)]
        together: Option<String>,
    },
    /// Amounts for a jar test, in the proportion of the tank
    Jar {
        /// A part of the tank: `name=amount`; repeat for each
        #[arg(long, required = true, value_name = "NAME=AMOUNT")]
        part: Vec<String>,
        /// Spray in the tank
        #[arg(long)]
        spray: String,
        /// Volume of the jar
        #[arg(long, default_value = "1 pt")]
        jar: String,
    },
    /// Least ammonium sulfate that binds the hardness of 100 gal of water: `--ion calcium=200 --ion magnesium=40`
    Conditioner {
        /// Parts per million of an ion; repeat for each
        #[arg(long, required = true, value_name = "ION=PPM")]
        ion: Vec<String>,
    },
    /// Compare a nozzle's droplet class with what the label asks for
    Droplets {
        /// The nozzle's class at the pressure used, such as M or coarse
        class: String,
        /// Finest class that the label allows
        #[arg(long)]
        finest: Option<String>,
        /// Coarsest class that the label allows
        #[arg(long)]
        coarsest: Option<String>,
    },
}

#[derive(Debug, Args)]
pub struct Calibrate {
    /// Water caught over the course or for a time, or used on the area
    #[arg(long)]
    caught: String,
    /// How long it was caught, if not while the course was walked
    #[arg(long, requires = "walked")]
    caught_in: Option<String>,
    /// How long the course took; repeat for a mean
    #[arg(long, requires = "caught_in")]
    walked: Vec<String>,
    /// Width of the spray: the swath, or the spacing of the nozzle caught from
    #[arg(long, requires = "course", required_unless_present = "area")]
    width: Option<String>,
    /// Length of the course
    #[arg(long, requires = "width")]
    course: Option<String>,
    /// Area sprayed, instead of width and course
    #[arg(long, conflicts_with_all = ["width", "course"])]
    area: Option<String>,
}

#[derive(Debug, Args)]
pub struct Nozzle {
    /// Flow of the nozzle
    #[arg(long)]
    flow: Option<String>,
    /// Speed
    #[arg(long)]
    speed: Option<String>,
    /// Nozzle spacing or swath
    #[arg(long)]
    width: String,
    /// Spray volume wanted
    #[arg(long)]
    volume: Option<String>,
    /// Pressure at that flow
    #[arg(long, requires_all = ["flow", "speed", "volume"])]
    pressure: Option<String>,
    /// Lowest pressure of the nozzle
    #[arg(long, requires_all = ["pressure", "highest"])]
    lowest: Option<String>,
    /// Highest pressure of the nozzle
    #[arg(long, requires_all = ["pressure", "lowest"])]
    highest: Option<String>,
}

#[derive(Debug, Args)]
pub struct Spreader {
    /// Product caught or spread
    #[arg(long, required_unless_present = "before", conflicts_with_all = ["before", "after"])]
    caught: Option<String>,
    /// Weight of hopper or product before
    #[arg(long, requires = "after")]
    before: Option<String>,
    /// Weight after
    #[arg(long, requires = "before")]
    after: Option<String>,
    /// Width that one pass covers
    #[arg(long, requires = "length", required_unless_present = "area")]
    width: Option<String>,
    /// Length of a pass
    #[arg(long, requires = "width")]
    length: Option<String>,
    /// Passes made
    #[arg(long, default_value_t = 1)]
    passes: u32,
    /// Area covered, instead of width and length
    #[arg(long, conflicts_with_all = ["width", "length"])]
    area: Option<String>,
    /// The label's rate, to compare with
    #[arg(long)]
    rate: Option<String>,
    /// The lawn is crossed twice, at half the rate each time
    #[arg(long, requires = "rate")]
    twice: bool,
    /// Deviation in percent that is let pass (common practice)
    #[arg(long, default_value = "10")]
    limit: String,
}

#[derive(Debug, Args)]
pub struct Mix {
    /// The label's rate per area; a range counts with its lower end
    #[arg(long)]
    rate: String,
    /// The most the label allows per area at a time; without it, the rate's upper end counts
    #[arg(long)]
    maximum: Option<String>,
    /// The most the label allows per area in a year: `2 qt/A/year`
    #[arg(long)]
    per_year: Option<String>,
    /// What went on this ground this year already; may be repeated
    #[arg(long, requires = "per_year")]
    used: Vec<String>,
    /// Area to treat: a figure or a shape
    #[arg(long)]
    area: String,
    /// Dry or liquid product; needed where the rate is in plain ounces
    #[arg(long)]
    product: Option<Product>,
    /// Spray volume per area
    #[arg(long, requires = "tank")]
    volume: Option<String>,
    /// Volume of the tank
    #[arg(long, requires = "volume")]
    tank: Option<String>,
    /// Adjuvant by volume of spray, such as `0.25 % v/v`; may be repeated
    #[arg(long, requires = "volume")]
    adjuvant: Vec<String>,
    /// Full tanks and a rest instead of equal loads
    #[arg(long, requires = "volume")]
    full_tanks: bool,
    /// Measuring tool: `scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz`, `spoons`
    #[arg(long)]
    tool: Option<String>,
}

#[derive(Debug, Args)]
pub struct Active {
    /// Amount, rate or concentration: of active (`1 lb a.i./A`) or of product (`2 pt/A`)
    figure: String,
    /// Strength of the product: `4 lb/gal`, `75 % WG`, `480 g/L`
    #[arg(long)]
    strength: String,
    /// Strength of the same product as acid equivalent, to turn a.i. into a.e. or back
    #[arg(long)]
    acid: Option<String>,
    /// Density of a liquid whose strength is by weight
    #[arg(long)]
    density: Option<String>,
    /// Dry or liquid product
    #[arg(long)]
    product: Option<Product>,
    /// The unit wanted
    #[arg(long = "in", value_name = "UNIT")]
    unit: Option<String>,
}

#[derive(Debug, Args)]
pub struct Dilute {
    /// Rate per volume of spray, of product or (with --strength) of active
    rate: String,
    /// Spray to be mixed
    #[arg(long)]
    spray: String,
    /// Strength of the product, where the rate is of active
    #[arg(long)]
    strength: Option<String>,
    /// Dry or liquid product
    #[arg(long)]
    product: Option<Product>,
    /// Measuring tool: `scale 0.1 g`, `syringe 0.5 mL`, `cup 1 fl oz`, `spoons`
    #[arg(long)]
    tool: Option<String>,
}

#[derive(Debug, Args)]
pub struct Cost {
    /// Product used
    #[arg(long)]
    amount: String,
    /// Size of a pack
    #[arg(long)]
    pack: String,
    /// Price of a pack
    #[arg(long)]
    price: String,
    /// Treatments a year
    #[arg(long)]
    treatments: Option<u32>,
    /// Years that an opened pack keeps
    #[arg(long, requires = "treatments")]
    keeps: Option<String>,
}
