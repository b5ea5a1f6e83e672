//! A picture read back by another engine than the one that placed its texts.

use std::sync::Arc;

use resvg::usvg::{Group, Node, Options, Rect, Tree, fontdb};

/// Its parts, with the embedded font.
pub fn read(svg: &str) -> Tree {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    let options = Options { fontdb: Arc::new(fonts), font_family: "DejaVu Sans".to_owned(), ..Options::default() };
    Tree::from_str(svg, &options).unwrap()
}

/// Every text with the box it fills on the sheet.
pub fn texts(group: &Group) -> Vec<(String, Rect)> {
    let of_node = |node: &Node| match node {
        Node::Group(inner) => texts(inner),
        Node::Text(text) => {
            vec![(text.chunks().iter().map(|chunk| chunk.text()).collect(), text.abs_bounding_box())]
        }
        Node::Path(_) | Node::Image(_) => Vec::new(),
    };
    group.children().iter().flat_map(of_node).collect()
}

/// Whether two boxes share any place.
pub fn overlap(a: &Rect, b: &Rect) -> bool {
    a.left() < b.right() && b.left() < a.right() && a.top() < b.bottom() && b.top() < a.bottom()
}

/// How often a part of the text occurs.
pub fn count(svg: &str, part: &str) -> usize {
    svg.matches(part).count()
}

/// `x,y` as numbers.
pub fn pair(text: &str) -> (f64, f64) {
    let (x, y) = text.split_once(',').unwrap();
    (x.parse().unwrap(), y.parse().unwrap())
}
