//! What stands between the columns of a table.

/// Sign between columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
}

impl Separator {
    /// The commonest of the three in a header, outside quotation marks.
    pub fn of(header: &str) -> Self {
        let mut quoted = false;
        let [mut comma, mut semicolon, mut tab] = [0_usize; 3];
        for byte in header.bytes() {
            match byte {
                b'"' => quoted = !quoted,
                _ if quoted => {}
                b',' => comma += 1,
                b';' => semicolon += 1,
                b'\t' => tab += 1,
                _ => {}
            }
        }
        if semicolon > comma && semicolon >= tab {
            Self::Semicolon
        } else if tab > comma {
            Self::Tab
        } else {
            Self::Comma
        }
    }

    /// As a byte.
    pub fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    /// Whether numbers may have a decimal comma.
    pub fn decimal_comma(self) -> bool {
        self != Self::Comma
    }
}
