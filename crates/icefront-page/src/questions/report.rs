//! The answer to a question: a command's report, its pictures, and the arguments that print the same.

use maud::{Markup, PreEscaped, html};

/// The answer to a question.
#[derive(Debug)]
pub struct Report {
    /// Its heading.
    pub title: &'static str,
    /// The arguments that print the same, the subcommand first.
    pub arguments: Vec<String>,
    /// The report.
    pub text: Markup,
    /// Its pictures.
    pub pictures: Vec<String>,
    /// Whether the pictures are labels, to be printed in real size.
    pub labels: bool,
}

impl Report {
    /// A report without pictures.
    pub fn new(title: &'static str, arguments: impl IntoIterator<Item = impl Into<String>>, text: String) -> Self {
        let arguments = arguments.into_iter().map(Into::into).collect();
        Self { title, arguments, text: PreEscaped(text), pictures: Vec::new(), labels: false }
    }

    /// A note that belongs to no command.
    pub fn note(title: &'static str, words: &str) -> Self {
        Self::new(title, [""; 0], html! { p { (words) } }.into_string())
    }

    /// The same with a picture.
    pub fn with(self, picture: String) -> Self {
        Self { pictures: vec![picture], ..self }
    }
}
