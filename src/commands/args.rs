//! The arguments: one definition gives parsing, short help and long help.

use clap::{Args as Group, Parser, Subcommand, ValueEnum};
use std::path::{Path, PathBuf};

const EXIT_CODES: &str = "Exit codes:\n  0  fine\n  1  findings: nothing was written, or a package does not keep its promises\n  \
    2  the arguments or the kit could not be read\n  3  the output could not be written\n  4  a bug in kitwright";

/// Turn one manifest and one true-size drawing into a sewing-pattern kit that prints right on any printer.
#[derive(Debug, Parser)]
#[command(name = "kitwright", version, after_help = EXIT_CODES, max_term_width = 100)]
pub(super) struct Args {
    #[command(flatten)]
    pub(super) common: Common,
    #[command(subcommand)]
    pub(super) command: Command,
}

/// Options of every command.
#[derive(Debug, Group)]
pub(super) struct Common {
    /// When to use colour; NO_COLOR in the environment means never
    #[arg(long, global = true, value_enum, default_value = "auto", value_name = "WHEN")]
    pub(super) color: When,
    /// Say nothing but findings
    #[arg(long, short, global = true)]
    pub(super) quiet: bool,
    /// Treat warnings as findings that stop the work
    #[arg(long, global = true)]
    pub(super) deny_warnings: bool,
    /// How results and findings are given
    #[arg(long, global = true, value_enum, default_value = "text", value_name = "FORMAT")]
    pub(super) format: Format,
}

/// When to use colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum When {
    /// On a terminal
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// How results and findings are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For people
    Text,
    /// For programs; the fields are described in docs/schema
    Json,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Begin a kit: a small working one with a commented manifest, ready to build
    New(New),
    /// Look a kit over and tell all findings; writes nothing
    Check(Kit),
    /// Show what would be printed: sheets, map and page ranges
    Plan(Plan),
    /// Make the package: sheets, check pages, guide and checksums in one zip
    Build(Build),
    /// Make the page of one sheet alone, to be printed again
    Sheet(Sheet),
    /// Draw pictures for a shop's page: the whole drawing and a sheet, as PNG
    Picture(Picture),
    /// Lay the pieces out on cloth: how much of it each size takes at each width
    Lays(Lays),
    /// Make the guide alone, as one page a language; the kit may be an unpacked bundle for translators
    Guide(Guide),
    /// Make a page on which to look the whole kit over before it goes out
    Proof(Proof),
    /// Work on translations: write, check and take back the files that translators fill in
    Catalogue(Catalogue),
    /// Measure a finished package: does it keep its promises?
    Verify(Verify),
    /// Pack a copy of an unfinished edition for each tester of a round
    Review(Review),
    /// Release an edition: check that all is ready, build, measure, and record it
    Release(Release),
    /// Tell what one edition changes of another: sheets to print anew, measurements, guides
    Compare(Compare),
    /// Make a pair of keys, to sign packages with
    Key(Key),
    /// Tell in plain words what a finding means, why it matters on paper and how to mend it
    Explain(Explain),
    /// Put what testers sent back on one page and into one table
    Feedback(Feedback),
}

/// Begin a kit.
#[derive(Debug, Group)]
pub(super) struct New {
    /// Folder to make; it must not exist yet, or be empty
    pub(super) dir: PathBuf,
}

/// A kit, and how large its drawing may be.
#[derive(Clone, Debug, Group)]
pub(super) struct KitFolder {
    /// Folder of a kit, or its manifest
    #[arg(value_name = "KIT")]
    pub(super) path: PathBuf,
    #[command(flatten)]
    pub(super) room: Room,
}

/// How large a drawing may be.
#[derive(Clone, Copy, Debug, Group)]
pub(super) struct Room {
    /// Read a drawing that is up to so many times larger than usual, if you know where it comes from
    #[arg(long, value_name = "TIMES", default_value = "1", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub(super) larger: u32,
}

impl KitFolder {
    /// A kit and the room for its drawing.
    pub(super) fn of(path: &Path, room: Room) -> Self {
        Self { path: path.to_owned(), room }
    }

    /// A kit whose drawing is no larger than usual.
    pub(super) fn usual(path: &Path) -> Self {
        Self::of(path, Room { larger: 1 })
    }
}

/// A kit to look at.
#[derive(Debug, Group)]
pub(super) struct Kit {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
}

/// A kit to plan, and what to ask about the plan.
#[derive(Debug, Group)]
pub(super) struct Plan {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// Only this paper of the manifest; may be given more than once
    #[arg(long, value_name = "PAPER")]
    pub(super) paper: Vec<String>,
    /// Sheets and pages for these sizes together, as in `40,42`
    #[arg(long, value_name = "SIZES", value_delimiter = ',')]
    pub(super) sizes: Vec<String>,
    /// Whether a printer with these margins prints it whole: one length or four, as in `5 mm,6 mm,15 mm,6 mm` (top, right,
    /// bottom, left)
    #[arg(long, value_name = "LENGTHS", value_delimiter = ',', allow_hyphen_values = true)]
    pub(super) margins: Vec<String>,
    /// Draw the map of the sheets into this file, as SVG
    #[arg(long, value_name = "FILE")]
    pub(super) map: Option<PathBuf>,
}

/// Make a package.
#[derive(Debug, Group)]
pub(super) struct Build {
    /// Folder of a kit, or its manifest; of several kits each gets its package, and what is no kit is passed over
    #[arg(required = true, value_name = "KIT")]
    pub(super) kits: Vec<PathBuf>,
    #[command(flatten)]
    pub(super) room: Room,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// Folder for the package [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Only this paper of the manifest; may be given more than once
    #[arg(long, value_name = "PAPER")]
    pub(super) paper: Vec<String>,
    /// Only this language of the manifest; may be given more than once
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Vec<String>,
    /// Package of an earlier edition: the guide tells what is corrected since, and the corrected sheets are there once more alone
    #[arg(long, value_name = "PACKAGE")]
    pub(super) since: Option<PathBuf>,
    /// Sign the package with this secret key, as `kitwright key` makes it; the file must lie outside all kits
    #[arg(long, value_name = "FILE")]
    pub(super) sign: Option<PathBuf>,
    /// Make the whole package anew, whatever has been made before, and keep nothing
    #[arg(long)]
    pub(super) no_cache: bool,
    /// Write which files each package was made from into this file, as make and Ninja read it
    #[arg(long, value_name = "FILE")]
    pub(super) depfile: Option<PathBuf>,
}

/// Make one page.
#[derive(Debug, Group)]
pub(super) struct Sheet {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Label of the sheet, as in `A3`
    pub(super) label: String,
    /// Paper of the manifest; needed if there are several home papers, or if a wide one is meant
    #[arg(long, value_name = "PAPER")]
    pub(super) paper: Option<String>,
    /// The sheet of the file that holds this size alone, in kits with `size-files`
    #[arg(long, value_name = "SIZE")]
    pub(super) size: Option<String>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// File to make, a PDF; it must not exist yet
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
}

/// Draw pictures.
#[derive(Debug, Group)]
pub(super) struct Picture {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder for the pictures [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// Longer side of each picture, in pixels
    #[arg(long, value_name = "PIXELS", default_value = "2000", value_parser = clap::value_parser!(u32).range(100..=8000))]
    pub(super) size: u32,
}

/// Lay pieces out on cloth.
#[derive(Debug, Group)]
pub(super) struct Lays {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder for a picture of each lay, as SVG
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Keep the lays beside the manifest, in `lays.json`: as long as pieces and cloth stay the same, so do their lengths
    #[arg(long)]
    pub(super) keep: bool,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
}

/// Make the guide.
#[derive(Debug, Group)]
pub(super) struct Guide {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder for the pages [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Only this language; `en-XA` and `ar-XB` show how the page bears longer words and words from right to left; may be given
    /// more than once
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Vec<String>,
    /// Stay, and make the pages again whenever a file of the kit is saved
    #[arg(long)]
    pub(super) watch: bool,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
}

/// Make a proof.
#[derive(Debug, Group)]
pub(super) struct Proof {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Folder for the page [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR", conflicts_with = "watch")]
    pub(super) out: Option<PathBuf>,
    /// Package of an earlier edition: tell which sheets have changed since; unless said, the last one that was released
    #[arg(long, value_name = "PACKAGE")]
    pub(super) since: Option<PathBuf>,
    /// Stay, and show the page in a browser on this computer; it refreshes whenever a file of the kit is saved
    #[arg(long)]
    pub(super) watch: bool,
    /// Port for `--watch` [default: one that is free]
    #[arg(long, value_name = "PORT", requires = "watch")]
    pub(super) port: Option<u16>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
}

/// Work on translations.
#[derive(Debug, Group)]
pub(super) struct Catalogue {
    #[command(subcommand)]
    pub(super) what: CatalogueWork,
}

/// What to do with translations.
#[derive(Debug, Subcommand)]
pub(super) enum CatalogueWork {
    /// Write the file of each language, or bring it up to what the kit says now; translations are kept
    Update(CatalogueUpdate),
    /// Tell what is done, missing, stale or wrong in each language; exit code 1 if anything is left to do
    Status(CatalogueStatus),
    /// Take a translator's file back, PO or XLIFF
    Merge(CatalogueMerge),
    /// Pack what a translator needs, without the drawing, into one zip
    Bundle(CatalogueBundle),
    /// Write the file of a language as XLIFF 2.1
    Export(CatalogueExport),
}

/// Update catalogues.
#[derive(Debug, Group)]
pub(super) struct CatalogueUpdate {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Only this language, which need not be in the manifest yet; may be given more than once
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Vec<String>,
}

/// State of catalogues.
#[derive(Debug, Group)]
pub(super) struct CatalogueStatus {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Only this language; may be given more than once
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Vec<String>,
}

/// Take back a catalogue.
#[derive(Debug, Group)]
pub(super) struct CatalogueMerge {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// The file that the translator sent
    pub(super) file: PathBuf,
    /// Its language, if the file does not say
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Option<String>,
    /// Take what still fits from the file of another edition
    #[arg(long)]
    pub(super) any_edition: bool,
}

/// Pack a bundle.
#[derive(Debug, Group)]
pub(super) struct CatalogueBundle {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Language to translate into; needed if there are several
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Option<String>,
    /// Folder for the bundle [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
}

/// Write a catalogue as XLIFF.
#[derive(Debug, Group)]
pub(super) struct CatalogueExport {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Language; needed if there are several
    #[arg(long, value_name = "LANGUAGE")]
    pub(super) language: Option<String>,
    /// File to make; it must not exist yet
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
}

/// Measure a package.
#[derive(Debug, Group)]
pub(super) struct Verify {
    /// A package (zip), or a folder that it was unpacked to
    pub(super) package: PathBuf,
    /// The publisher's public key: the package must be signed by it
    #[arg(long, value_name = "FILE")]
    pub(super) key: Option<PathBuf>,
    /// Write a page with all figures, and pictures of what is off, into this HTML file; it must not exist yet
    #[arg(long, value_name = "FILE")]
    pub(super) report: Option<PathBuf>,
}

/// Pack copies for testers.
#[derive(Debug, Group)]
pub(super) struct Review {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// Number of the test round
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=999))]
    pub(super) round: u32,
    /// Who tests what [default: `testers.yaml` in the kit's folder]
    #[arg(long, value_name = "FILE")]
    pub(super) roster: Option<PathBuf>,
    /// Only this tester; may be given more than once
    #[arg(long, value_name = "ID")]
    pub(super) tester: Vec<String>,
    /// Folder for the bundles; those of earlier rounds are looked for there [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// Sign the bundles with this secret key, as `kitwright key` makes it; the file must lie outside all kits
    #[arg(long, value_name = "FILE")]
    pub(super) sign: Option<PathBuf>,
}

/// Release an edition.
#[derive(Debug, Group)]
pub(super) struct Release {
    #[command(flatten)]
    pub(super) kit: KitFolder,
    /// The edition to release, which the manifest must say too
    #[arg(long, value_name = "EDITION")]
    pub(super) edition: semver::Version,
    /// Only tell what would be done
    #[arg(long)]
    pub(super) dry_run: bool,
    /// Folder for the package [default: `out` in the kit's folder]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Folder with fonts for scripts that the kit's own files do not have
    #[arg(long, value_name = "DIR")]
    pub(super) fonts: Option<PathBuf>,
    /// Sign the package with this secret key, as `kitwright key` makes it; the file must lie outside all kits
    #[arg(long, value_name = "FILE")]
    pub(super) sign: Option<PathBuf>,
}

/// Compare two editions.
#[derive(Debug, Group)]
pub(super) struct Compare {
    /// The earlier edition: a package (zip), a folder that it was unpacked to, or a kit
    pub(super) old: PathBuf,
    /// The newer edition, likewise; without it, OLD is a kit and is compared with its last released edition
    pub(super) new: Option<PathBuf>,
    /// Write a page with each changed sheet as it was and as it is into this HTML file; it must not exist yet
    #[arg(long, value_name = "FILE")]
    pub(super) report: Option<PathBuf>,
}

/// Make a pair of keys.
#[derive(Debug, Group)]
pub(super) struct Key {
    /// File for the secret key; the public one gets the same name and `.pub`. Neither may exist yet
    pub(super) file: PathBuf,
    /// Leave the secret key without a password, for machines that build by themselves
    #[arg(long)]
    pub(super) no_password: bool,
}

/// Explain a finding.
#[derive(Debug, Group)]
pub(super) struct Explain {
    /// Code of the finding, as it stands in its square brackets; without it, all codes are listed
    pub(super) code: Option<String>,
}

/// Merge what testers say.
#[derive(Debug, Group)]
pub(super) struct Feedback {
    /// Files that testers sent back, or folders with such files; those of several rounds may come together
    #[arg(required = true)]
    pub(super) files: Vec<PathBuf>,
    /// The roster of the testers: tell who has not answered, and leave out who is not on it
    #[arg(long, value_name = "FILE", requires = "kit")]
    pub(super) roster: Option<PathBuf>,
    /// Folder of the kit, or its manifest: leave out answers about another one, and show the guide's own headings
    #[arg(long, value_name = "KIT")]
    pub(super) kit: Option<PathBuf>,
    /// Folder for page and table [default: `out` in the kit's folder, or this folder if no kit is given]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
}
