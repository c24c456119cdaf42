//! Which elements use which: cycles and missing ones, and what is printed only because something printed uses it.

use super::layers::Layers;
use super::numbers;
use super::outline::{Element, Link, Outline};
use super::source::Source;
use crate::diagnostic::{Diagnostic, Findings};
use std::collections::BTreeSet;

/// Deepest chain of elements inside or using each other; the SVG library recurses along it.
const DEEPEST: usize = 500;
/// Most elements once every `use` is written out: the limit of the SVG library.
const MOST: u64 = 1_000_000;
/// Most elements once every other use (clip, pattern …) is written out too; those are mostly shared.
const MOST_SHARED: u64 = 20_000_000;

/// All uses, in the order of the elements that use.
struct Uses<'a> {
    outline: &'a Outline<'a>,
    source: &'a Source<'a>,
    links: Vec<&'a Link<'a>>,
}

/// What the uses make of each element.
#[derive(Debug, Default)]
pub struct Reach {
    /// Whether it matters on paper.
    pub matters: Vec<bool>,
    /// Whether it is, or lies in, something that others use.
    pub shared: Vec<bool>,
    /// Whether any line has markers.
    pub markers: bool,
}

impl Reach {
    /// Whether an element matters on paper.
    pub fn matters(&self, element: usize) -> bool {
        self.matters.get(element).copied().unwrap_or(false)
    }

    /// Whether an element is, or lies in, something that others use.
    pub fn is_shared(&self, element: usize) -> bool {
        self.shared.get(element).copied().unwrap_or(true)
    }
}

/// Which elements matter on paper; nothing if elements use each other in a way that has no end.
pub fn reach(source: &Source, outline: &Outline, layers: &Layers, findings: &mut Findings) -> Option<Reach> {
    let uses = Uses::of(outline, source);
    findings.take(uses.measure())?;
    let matters = uses.reach(layers);
    findings.extend(uses.missing(&matters));
    let markers = uses.links.iter().any(|link| link.key.starts_with("marker"));
    Some(Reach { matters, shared: uses.shared(), markers })
}

/// How far the walk has come with an element.
#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    New,
    Open,
    Done,
}

/// What an element amounts to with all that it holds and uses.
#[derive(Clone, Copy, Default)]
struct Weight {
    depth: usize,
    copied: u64,
    shared: u64,
    points: u64,
}

impl<'a> Uses<'a> {
    fn of(outline: &'a Outline<'a>, source: &'a Source<'a>) -> Self {
        let idle = ["a", "script", "image", "animate", "animateTransform", "animateMotion", "set", "discard"];
        let uses = |link: &&Link| {
            outline
                .elements
                .get(link.from)
                .is_some_and(|e| link.key != "href" && link.key != "xlink:href" || !idle.contains(&e.tag))
        };
        let mut links: Vec<&Link> = outline.links.iter().filter(uses).collect();
        links.sort_by_key(|link| link.from);
        Self { outline, source, links }
    }

    fn of_element(&self, element: usize) -> &[&'a Link<'a>] {
        let start = self.links.partition_point(|link| link.from < element);
        let end = self.links.partition_point(|link| link.from <= element);
        self.links.get(start..end).unwrap_or_default()
    }

    fn target(&self, link: &Link) -> Option<usize> {
        self.outline.by_id.get(&link.to).copied().filter(|_| !link.outside)
    }

    /// Children and used elements, the latter with their link.
    fn next(&self, element: usize, step: &mut Step) -> Option<(usize, Option<&'a Link<'a>>)> {
        let end = self.outline.elements.get(element).map_or(0, |e| e.end);
        if step.child < end {
            let child = step.child;
            step.child = self.outline.elements.get(child).map_or(end, |e| e.end);
            return Some((child, None));
        }
        loop {
            let link = self.of_element(element).get(step.link).copied()?;
            step.link += 1;
            if let Some(target) = self.target(link) {
                return Some((target, Some(link)));
            }
        }
    }

    /// Walks over everything once and refuses what has no end or grows too large.
    fn measure(&self) -> Result<(), Diagnostic> {
        let count = self.outline.elements.len();
        let mut states = vec![State::New; count];
        let own = |element: &Element| Weight { points: element.points, ..Weight::default() };
        let mut weights: Vec<Weight> = self.outline.elements.iter().map(own).collect();
        let mut stack: Vec<(usize, Step, Option<&Link>)> = vec![(0, Step::at(0), None)];
        while let Some((element, step, _)) = stack.last_mut() {
            let element = *element;
            set(&mut states, element, State::Open);
            // All that it holds and uses is done, so its weight is known and goes up.
            let Some((next, link)) = self.next(element, step) else {
                let (_, _, link) = stack.pop().unwrap_or((0, Step::at(0), None));
                set(&mut states, element, State::Done);
                let own = weights.get(element).copied().unwrap_or_default();
                self.limit(element, own)?;
                if let Some((above, _, _)) = stack.last() {
                    add(&mut weights, *above, own, link);
                }
                continue;
            };
            match states.get(next).copied() {
                Some(State::New) => stack.push((next, Step::at(next), link)),
                Some(State::Open) => return Err(self.cycle(element, link)),
                // Weighed once, counted as often as it is used.
                Some(State::Done) => {
                    let known = weights.get(next).copied().unwrap_or_default();
                    add(&mut weights, element, known, link);
                }
                None => {}
            }
        }
        Ok(())
    }

    /// The finding for a use without end.
    fn cycle(&self, element: usize, link: Option<&Link>) -> Diagnostic {
        let (at, name) = link.map_or((0, ""), |link| (link.at, &link.to));
        let place = self.source.place(at).element(self.outline.name_of(element));
        error!("use-cycle", name).at(place)
    }

    /// Refuses an element that amounts to too much.
    fn limit(&self, element: usize, weight: Weight) -> Result<(), Diagnostic> {
        let most = self.source.limits.points;
        let finding = match weight {
            Weight { depth, .. } if depth > DEEPEST => error!("drawing-too-complex/deep-use", most = DEEPEST),
            Weight { copied, .. } if copied > MOST => error!("drawing-too-complex/clones", most = MOST),
            Weight { shared, .. } if shared > MOST_SHARED => error!("drawing-too-complex/shared"),
            Weight { points, .. } if points > most => error!("drawing-too-complex/points", most),
            _ => return Ok(()),
        };
        let at = self.outline.elements.get(element).map_or(0, |e| e.start);
        Err(finding.at(self.source.place(at)))
    }

    /// What is painted, what holds it, and what those use.
    fn reach(&self, layers: &Layers) -> Vec<bool> {
        let mut reached = vec![false; self.outline.elements.len()];
        let mut list: Vec<usize> = Vec::new();
        for (number, element) in self.outline.elements.iter().enumerate() {
            if layers.printed(number).is_some() && !element.is_container() {
                for above in self.outline.ancestors(number) {
                    match reached.get_mut(above) {
                        Some(known) if !*known => *known = true,
                        _ => break,
                    }
                    list.push(above);
                }
            }
        }
        // What is used matters with all that is in it, and may use more.
        while let Some(element) = list.pop() {
            for target in self.of_element(element).iter().filter_map(|link| self.target(link)) {
                for inner in self.outline.inside(target) {
                    if let Some(known) = reached.get_mut(inner).filter(|known| !**known) {
                        *known = true;
                        list.push(inner);
                    }
                }
            }
        }
        reached
    }

    fn shared(&self) -> Vec<bool> {
        let mut shared = vec![false; self.outline.elements.len()];
        let targets: BTreeSet<usize> = self.links.iter().filter_map(|link| self.target(link)).collect();
        for target in targets {
            // One that lies in another target was marked with it, and is not gone through again.
            if shared.get(target) == Some(&false) {
                let inside = shared.get_mut(self.outline.inside(target)).unwrap_or_default();
                inside.fill(true);
            }
        }
        shared
    }

    /// Findings for uses of what is not there or cannot serve, where it matters.
    fn missing(&self, matters: &[bool]) -> Vec<Diagnostic> {
        let counts = |link: &&&Link| matters.get(link.from).copied().unwrap_or(false) && !link.has_fallback;
        self.links.iter().filter(counts).filter_map(|link| self.fault(link)).collect()
    }

    fn fault(&self, link: &Link) -> Option<Diagnostic> {
        let tag = self.target(link).and_then(|target| self.outline.elements.get(target)).map(|target| target.tag);
        let finding = match (tag, wanted(link.key)) {
            (None, _) if link.outside => error!("reference-missing/outside", key = link.key, to = numbers::shown(&link.to)),
            (None, _) => error!("reference-missing", key = link.key, to = link.to),
            (Some(tag), Some(wanted)) if !wanted.contains(&tag) => {
                error!("reference-missing/other", key = link.key, to = link.to, tag, wanted = wanted.join(">` or `<"))
            }
            _ => return None,
        };
        let place = self.source.place(link.at).element(self.outline.name_of(link.from));
        Some(finding.at(place))
    }
}

/// Which tags a property may use.
fn wanted(key: &str) -> Option<&'static [&'static str]> {
    match key {
        "clip-path" => Some(&["clipPath"]),
        "mask" => Some(&["mask"]),
        "filter" => Some(&["filter"]),
        "fill" | "stroke" => Some(&["linearGradient", "radialGradient", "pattern"]),
        "marker" | "marker-start" | "marker-mid" | "marker-end" => Some(&["marker"]),
        _ => None,
    }
}

/// Where the walk stands among an element's children and links.
struct Step {
    child: usize,
    link: usize,
}

impl Step {
    const fn at(element: usize) -> Self {
        Self { child: element + 1, link: 0 }
    }
}

fn set(states: &mut [State], element: usize, state: State) {
    if let Some(slot) = states.get_mut(element) {
        *slot = state;
    }
}

/// Adds what an element holds or uses to its weight.
fn add(weights: &mut [Weight], element: usize, inner: Weight, link: Option<&Link>) {
    let Some(weight) = weights.get_mut(element) else { return };
    // `use` copies its target once and a marker at every point; clips and paints are kept once.
    let copies = match link.map(|link| link.key) {
        None | Some("href" | "xlink:href") => 1,
        Some(key) if key.starts_with("marker") => weight.points.max(1),
        Some(_) => 0,
    };
    weight.depth = weight.depth.max(inner.depth + 1);
    weight.shared = weight.shared.saturating_add(inner.shared.saturating_add(1));
    weight.copied = weight.copied.saturating_add(inner.copied.saturating_add(1).saturating_mul(copies));
    weight.points = weight.points.saturating_add(inner.points.saturating_mul(copies));
}

#[cfg(test)]
mod tests {
    use crate::drawing::trial::{plain, told};

    const LINE: &str = "<path d=\"M0 0h9\" stroke=\"red\"/>";

    #[test]
    fn cycles_of_every_kind_are_refused() {
        let cases = [
            "<g id=\"a\"><use href=\"#a\"/></g>",
            "<use id=\"a\" href=\"#a\"/>",
            "<g id=\"a\"><use xlink:href=\"#b\"/></g><g id=\"b\"><use href=\"#c\"/></g><g id=\"c\"><use href=\"#a\"/></g>",
            "<clipPath id=\"a\" clip-path=\"url(#b)\"/><clipPath id=\"b\" clip-path=\"url(#c)\"/><clipPath id=\"c\" clip-path=\"url(#a)\"/>",
            "<pattern id=\"a\"><rect fill=\"url(#b)\"/></pattern><pattern id=\"b\"><rect style=\"fill:url('#a')\"/></pattern>",
            "<style>.x{mask:url(#a)}</style><mask id=\"a\"><rect class=\"x\"/></mask>",
        ];
        for body in cases {
            let (drawing, findings) = plain(&format!("{LINE}{body}"));
            assert!(drawing.is_none());
            let found = told(&findings);
            assert!(matches!(found.as_slice(), [("use-cycle", 2, column)] if *column > 1), "{body}: {found:?}");
        }
    }

    #[test]
    fn doublings_and_chains_are_refused_quickly() {
        let mut doublings = String::from("<g id=\"a0\"><path d=\"M0 0h1\"/></g>");
        for level in 1..40 {
            let inner = format!("<use href=\"#a{}\"/>", level - 1).repeat(2);
            doublings.push_str(&format!("\n<g id=\"a{level}\">{inner}</g>"));
        }
        let found = told(&plain(&doublings).1);
        assert!(matches!(found.as_slice(), [("drawing-too-complex", 20..=22, 1)]), "{found:?}");
        let chain = |kind: &str| -> String {
            let link = |i: usize| format!("<clipPath id=\"c{i}\" {kind}=\"url(#c{})\"/>", i + 1);
            (0..3000).map(link).collect::<String>() + "<clipPath id=\"c3000\"/>"
        };
        let found = told(&plain(&chain("clip-path")).1);
        assert!(matches!(found.as_slice(), [("drawing-too-complex", 2, _)]), "{found:?}");
    }

    #[test]
    fn what_is_used_and_missing_is_told() {
        let cases = [
            "<use href=\"#gone\"/>",
            "<path d=\"M0 0h9\" clip-path=\"url(#gone)\"/>",
            "<path d=\"M0 0h9v9\" fill=\"url(#gone)\"/>",
            "<path id=\"p\" d=\"M0 0h9\"/><path d=\"M0 0h9\" style=\"marker-end:url(#p)\"/>",
        ];
        for body in cases {
            let found = told(&plain(&format!("{LINE}\n{body}")).1);
            assert!(matches!(found.as_slice(), [("reference-missing", 3, _)]), "{body}: {found:?}");
        }
        let fine =
            ["<path d=\"M0 0h9v9\" fill=\"url(#gone) red\"/>", "<a href=\"#gone\"/>", "<defs><use href=\"#gone\"/></defs>"];
        for body in fine {
            assert_eq!(told(&plain(&format!("{LINE}{body}")).1), [], "{body}");
        }
    }
}
