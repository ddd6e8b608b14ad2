//! The CSV files of a result, and the one place that writes them: each is a head and a stream of rows, so none is ever
//! held as a whole. Their data dictionary is written beside them.
//!
//! Every result has them as values ([`Output::csv`](super::output::Output::csv)), but a sweep: its rows are in the parts,
//! and what its table and charts show is read from the same lines, once. So there is no such result before its files are
//! written, by [`Gathered::write`](super::parts::gather::Gathered::write).

use std::io::{self, Write};

use super::ReportError;
use super::columns::Rows;
use super::datapackage::{self, Described};
use super::out::OutputFolder;

/// The CSV files of a run.
pub struct CsvFiles<'a> {
    /// Title of the run.
    pub title: String,
    /// Its base seed.
    pub seed: u64,
    /// The files, in the order of the data dictionary.
    pub files: Vec<CsvFile<'a>>,
    /// Files that such a run may have and this one does not: one from an earlier run goes.
    pub without: Vec<&'static str>,
}

/// A CSV file that is not written yet.
pub struct CsvFile<'a> {
    described: Described,
    body: Body<'a>,
}

type Make<'a> = dyn FnOnce(&mut Rows<'_>) -> io::Result<()> + 'a;
type Keep<'a> = dyn FnOnce(&mut dyn Write) -> io::Result<()> + 'a;

/// What gives the rows, one after the other.
enum Body<'a> {
    /// Cell by cell.
    Made(Box<Make<'a>>),
    /// As lines that were made earlier for the same columns.
    Kept(Box<Keep<'a>>),
}

impl<'a> CsvFile<'a> {
    /// A file whose rows are made as they are written.
    pub fn made(
        described: Described,
        fill: impl FnOnce(&mut Rows<'_>) -> io::Result<()> + 'a,
    ) -> Self {
        let body = Body::Made(Box::new(fill));
        Self { described, body }
    }

    /// A file whose rows were made before, and go in as they stand.
    pub fn kept(
        described: Described,
        fill: impl FnOnce(&mut dyn Write) -> io::Result<()> + 'a,
    ) -> Self {
        let body = Body::Kept(Box::new(fill));
        Self { described, body }
    }

    /// Writes head and rows; gives what the data dictionary says of it.
    fn write(self, folder: &OutputFolder) -> Result<Described, ReportError> {
        let Self { described, body } = self;
        folder.write(&described.file(), |to| {
            let mut rows = Rows::new(&described.columns, to)?;
            match body {
                Body::Made(fill) => {
                    fill(&mut rows)?;
                    rows.end()
                }
                Body::Kept(fill) => {
                    rows.end()?;
                    fill(to)
                }
            }
        })?;
        Ok(described)
    }
}

impl CsvFiles<'_> {
    /// Writes all of them, then their data dictionary.
    ///
    /// # Errors
    /// [`ReportError::File`].
    pub fn write(self, folder: &OutputFolder) -> Result<(), ReportError> {
        let written: Vec<Described> = self
            .files
            .into_iter()
            .map(|file| file.write(folder))
            .collect::<Result<_, _>>()?;
        for name in self.without {
            folder.remove(name);
        }
        datapackage::write(folder, &self.title, self.seed, &written)
    }
}
