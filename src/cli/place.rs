//! Where the files of a run are: its last line, on standard error. Where the terminal has links, the path is one.

use std::path::Path;

use anstyle_hyperlink::Hyperlink;
use supports_hyperlinks::Stream;

use super::complain_as_is;
use crate::scenario::visible;
use crate::words::messages;

/// "13 files in output/friday-rush/".
pub fn say_files(count: usize, folder: &Path) {
    // With the separator at its end it is seen to be a folder.
    say(&messages::files_in(count), &folder.join(""));
}

/// `what`, then a path, alone at the end of the line: that is what terminals make a link of by themselves.
pub fn say(what: &str, path: &Path) {
    let path_shown = path.display().to_string();
    // The path ends its line: a line feed in a name does not begin another.
    let shown = visible::quoted(&path_shown).replace(['\n', '\t'], "\u{fffd}");
    let linked = supports_hyperlinks::on(Stream::Stderr)
        .then(|| std::path::absolute(path).ok())
        .flatten();
    let link = linked.map_or_else(Hyperlink::default, |path| Hyperlink::with_path(&path));
    // The address in a link is percent-encoded, so nothing in it is obeyed.
    complain_as_is(&format!("{}{link}{shown}{link:#}\n", visible::quoted(what)));
}
