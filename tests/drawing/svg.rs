//! The shapes, sizes and words of a picture, taken out of its SVG.

use roxmltree::{Document, Node};

pub(super) fn number(node: Node<'_, '_>, name: &str) -> f64 {
    let text = node.attribute(name).unwrap_or_else(|| panic!("{name} of {node:?}"));
    text.parse().unwrap_or_else(|_| panic!("{name} is {text}"))
}

pub(super) fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.002
}

pub(super) fn has_class(node: Node<'_, '_>, class: &str) -> bool {
    node.attribute("class").is_some_and(|all| all.split(' ').any(|one| one == class))
}

pub(super) fn columns(words: &str) -> f64 {
    u32::try_from(words.chars().count()).unwrap().into()
}

/// A view with its scale and origin.
pub(super) struct View<'a> {
    pub(super) node: Node<'a, 'a>,
    pub(super) scale: f64,
    pub(super) right: f64,
    pub(super) down: f64,
}

impl<'a> View<'a> {
    pub(super) fn of(document: &'a Document<'a>, name: &str) -> Option<Self> {
        let class = format!("view-{name}");
        let node = document.descendants().find(|node| has_class(*node, &class))?;
        let [scale, right, down] =
            ["data-scale", "data-right", "data-down"].map(|name| number(node, name));
        Some(Self { node, scale, right, down })
    }

    /// On the paper, a place of the machine.
    pub(super) fn at(&self, right: f64, up: f64) -> (f64, f64) {
        (self.right + self.scale * right, self.down - self.scale * up)
    }

    pub(super) fn of_class(&self, class: &str) -> Vec<Node<'a, 'a>> {
        self.node.descendants().filter(|node| has_class(*node, class)).collect()
    }

    /// The shape whose own title this is.
    pub(super) fn titled(&self, title: &str) -> Node<'a, 'a> {
        let titles = self.node.descendants().filter(|node| node.has_tag_name("title"));
        let found = titles.filter(|node| node.text() == Some(title)).collect::<Vec<_>>();
        assert_eq!(found.len(), 1, "{title}");
        found[0].parent().unwrap()
    }
}

/// Points of a path of straight strokes, stroke by stroke.
pub(super) fn strokes(node: Node<'_, '_>) -> Vec<Vec<(f64, f64)>> {
    let point = |text: &str| {
        let (x, y) = text.trim_end_matches('Z').split_once(' ').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    };
    let path = node.attribute("d").unwrap();
    path.split('M').skip(1).map(|stroke| stroke.split('L').map(point).collect()).collect()
}

pub(super) fn texts<'a>(document: &'a Document<'a>) -> Vec<&'a str> {
    let texts = document.descendants().filter(|n| n.has_tag_name("text") && !has_class(*n, "halo"));
    texts.filter_map(|node| node.text()).collect()
}

pub(super) fn says(svg: &str, words: &str) -> bool {
    texts(&Document::parse(svg).unwrap()).join(" ").contains(words)
}

/// The sense of an arrow: above zero is clockwise on the paper, where y runs down.
pub(super) fn sense(points: &[(f64, f64)]) -> f64 {
    let middle = points.len() / 2;
    let [a, b, c] = [points[0], points[middle], points[points.len() - 1]];
    (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0)
}

/// Whether a point lies in an outline: a ray to the right crosses it an odd number of times.
pub(super) fn inside(outline: &[(f64, f64)], (x, y): (f64, f64)) -> bool {
    let next = outline.iter().cycle().skip(1);
    let crossed = outline.iter().zip(next).filter(|((ax, ay), (bx, by))| {
        (*ay > y) != (*by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    });
    crossed.count() % 2 == 1
}
