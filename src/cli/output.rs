//! What all commands share: formats and exit codes.
use clap::ValueEnum;

/// How a command prints its answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Human,
    /// One JSON object.
    Json,
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Exit code 0.
    Fine,
    /// The answer is "no", or there are findings: exit code 1.
    No,
}
