//! Two macros that let a key, its row in the table of fields and its member be written down once.
//!
//! `keys!` declares the struct of a table. Each member stands beside its row: name and type, then the key in
//! the file and all that the table of fields says of it. The words of the row are the documentation of the
//! member. `at` is the path of the table with its last point. `besides` are keys that are checked and have no
//! member. `as` names the type of the rows as the file has them, where the model has another.
//!
//! `words!` declares the words that may be given for a key.

/// A table of a file: its struct, its rows of the table of fields, and how it is read.
macro_rules! keys {
    ($(#[$meta:meta])* $vis:vis struct $name:ident at $at:literal $(besides [$($make_other:ident($other:literal, $($about:expr),*)),* $(,)?])? {
        $($member:ident: $type:ty $(as $via:ty)? = $make:ident($key:literal, $what:literal $(, $more:expr)*) $(.only($kind:literal))?),* $(,)?
    }) => {
        $(#[$meta])*
        // What people write about a key is no link of ours.
        #[allow(rustdoc::broken_intra_doc_links)]
        #[derive(Debug, Clone, PartialEq, serde::Serialize)]
        $vis struct $name {
            $(#[doc = $what] #[serde(rename = $key)] pub $member: $type,)*
        }

        impl $crate::scenario::check::Keys for $name {
            const ROWS: &'static [$crate::scenario::field::Field] = &[
                $($($make_other(concat!($at, $other), $($about),*),)*)?
                $(keys!(@row $type $(as $via)?, $make(concat!($at, $key), $what $(, $more)*) $(.only($kind))?),)*
            ];

            fn read(row: &mut $crate::scenario::check::Row<'_, '_>) -> Self {
                $($(
                    let () = row.key({
                        const ROW: &$crate::scenario::field::Field = &$make_other(concat!($at, $other), $($about),*);
                        ROW
                    });
                )*)?
                Self {
                    $($member: {
                        const ROW: &$crate::scenario::field::Field =
                            &keys!(@row $type $(as $via)?, $make(concat!($at, $key), $what $(, $more)*) $(.only($kind))?);
                        keys!(@read row, ROW, $type $(as $via)?)
                    },)*
                }
            }

            fn harmless() -> Self {
                Self {
                    $($member: {
                        const ROW: &$crate::scenario::field::Field = &$make(concat!($at, $key), $what $(, $more)*);
                        keys!(@harmless ROW, $type $(as $via)?)
                    },)*
                }
            }
        }
    };
    (@row $type:ty, $row:expr) => { $row.holding(<$type as $crate::scenario::check::Read>::ROWS) };
    (@row $type:ty as $via:ty, $row:expr) => { $row.holding(<$via as $crate::scenario::check::Keys>::ROWS) };
    (@read $row:ident, $field:expr, $type:ty) => { $row.key::<$type>($field) };
    (@read $row:ident, $field:expr, $type:ty as $via:ty) => {
        $row.key::<Vec<$via>>($field).into_iter().map(Into::into).collect()
    };
    (@harmless $field:expr, $type:ty) => { <$type as $crate::scenario::check::Read>::harmless($field) };
    (@harmless $field:expr, $type:ty as $via:ty) => {
        <Vec<$via> as $crate::scenario::check::Read>::harmless($field).into_iter().map(Into::into).collect()
    };
}

/// The words that may be given for a key.
macro_rules! words {
    ($(#[$meta:meta])* $vis:vis enum $name:ident {
        $($(#[$about:meta])* $word:ident = $text:literal),* $(,)?
    }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
        $vis enum $name {
            $($(#[$about])* #[serde(rename = $text)] $word,)*
        }

        impl $name {
            /// The words of a file.
            pub const WORDS: &'static [&'static str] = &[$($text),*];

            /// The word of a file.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$word => $text,)*
                }
            }

            fn of_word(word: &str) -> Option<Self> {
                [$(Self::$word),*].into_iter().find(|this| this.name() == word)
            }
        }

        impl $crate::scenario::check::Read for $name {
            fn read(
                check: &mut $crate::scenario::check::Checker<'_>,
                field: &'static $crate::scenario::field::Field,
                node: &$crate::scenario::tree::Node,
                path: &str,
            ) -> Option<Self> {
                let word = check.word(field, node, path)?;
                let found = Self::of_word(word);
                found.or_else(|| check.misfit(field, node, path))
            }

            fn harmless(field: &'static $crate::scenario::field::Field) -> Self {
                let first = field.words().first();
                let first = first.and_then(|word| Self::of_word(word));
                first.unwrap_or(words!(@first $($word),*))
            }
        }
    };
    (@first $first:ident $(, $rest:ident)*) => { Self::$first };
}

pub(crate) use {keys, words};
