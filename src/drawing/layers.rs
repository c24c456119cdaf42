//! Which layer every element belongs to, by the names that the user sees in the editor.

use super::model::{Layer, Role};
use super::outline::Outline;
use super::request::Request;
use super::source::Source;
use crate::diagnostic::{Diagnostic, Findings, or_list};
use std::collections::BTreeMap;

/// Name of the layer that holds what lies outside every group of a drawing without lists.
const LOOSE: &str = "drawing";
/// Most names that a finding lists.
const LISTED: usize = 12;

/// To whom an element belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Owner {
    /// To no layer of any list.
    Nobody,
    /// To a layer that is never printed.
    Never,
    /// To a printed layer, by its number.
    Layer(usize),
}

/// Layers, and what belongs to them, element by element.
#[derive(Debug, Default)]
pub struct Layers {
    /// Printed layers in their final order.
    pub list: Vec<Layer>,
    /// To whom each element belongs.
    pub owners: Vec<Owner>,
    /// The piece in which each element lies: a group directly beneath its layer's own group.
    pub pieces: Vec<Option<usize>>,
    /// Whether each element is left out by `display`, its own or that of one around it, or merely stored.
    pub gone: Vec<bool>,
    /// Whether each element is hidden by `visibility`.
    pub unseen: Vec<bool>,
}

impl Layers {
    /// The printed layer of an element, if it is painted at all.
    pub fn printed(&self, element: usize) -> Option<usize> {
        match self.owners.get(element) {
            Some(Owner::Layer(layer)) if !self.is_hidden(element) => Some(*layer),
            _ => None,
        }
    }

    /// Whether a layer was found in the drawing and is not hidden; one that was not has a finding of its own.
    pub fn holds(&self, layer: &Layer) -> bool {
        let number = self.list.iter().position(|other| other == layer);
        let mut owned = self.owners.iter().enumerate().filter(|(_, owner)| number.is_some_and(|n| **owner == Owner::Layer(n)));
        owned.any(|(element, _)| !self.is_hidden(element))
    }

    /// Whether an element is hidden or not painted where it stands.
    pub fn is_hidden(&self, element: usize) -> bool {
        let told = |list: &Vec<bool>| list.get(element).copied().unwrap_or(true);
        told(&self.gone) || told(&self.unseen)
    }
}

/// What a list of the manifest wants with a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Want {
    Size(usize),
    Base(usize),
    Never(usize),
}

impl Want {
    fn path(self) -> String {
        match self {
            Self::Size(i) => format!("sizes[{i}].layer"),
            Self::Base(i) => format!("base-layers[{i}]"),
            Self::Never(i) => format!("never-printed[{i}]"),
        }
    }
}

/// Finds the layers that the request names, and what belongs to them.
pub fn layers(source: &Source, outline: &Outline, request: &Request, findings: &mut Findings) -> Layers {
    let wants = wants(request);
    let mut finder = Finder { outline, request, layers: hidden(outline), found: BTreeMap::new(), base: Vec::new() };
    finder.find(&wants);
    finder.report_lists(source, &wants, findings);
    if request.base_layers.is_none() {
        finder.claim_the_rest();
    }
    finder.spread();
    finder.report_unlisted(source, findings);
    finder.layers
}

/// All names of the manifest's lists, with what is wanted of them.
fn wants(request: &Request) -> BTreeMap<&str, Want> {
    let base = request.base_layers.iter().flatten().enumerate().map(|(i, name)| (name.as_str(), Want::Base(i)));
    let never = request.never_printed.iter().enumerate().map(|(i, name)| (name.as_str(), Want::Never(i)));
    let sizes = request.sizes.iter().enumerate().map(|(i, size)| (size.layer.as_str(), Want::Size(i)));
    base.chain(never).chain(sizes).collect()
}

/// What is hidden, from the outside in.
fn hidden(outline: &Outline) -> Layers {
    let mut layers = Layers::default();
    for element in &outline.elements {
        let above = |list: &[bool]| element.parent.is_some_and(|parent| list.get(parent).copied().unwrap_or(false));
        let gone = element.gone || element.is_store() || super::held::is_frame(element) || above(&layers.gone);
        let unseen = element.visible.map_or_else(|| above(&layers.unseen), |visible| !visible);
        layers.gone.push(gone);
        layers.unseen.push(unseen);
    }
    layers
}

struct Finder<'a> {
    outline: &'a Outline<'a>,
    request: &'a Request,
    layers: Layers,
    /// Elements that are layers, each with its want or the number of its base layer.
    found: BTreeMap<usize, Found>,
    /// Names of base layers in the drawing's order.
    base: Vec<String>,
}

#[derive(Clone, Copy, Debug)]
enum Found {
    Wanted(Want),
    Base(usize),
}

impl Finder<'_> {
    fn is_stored(&self, element: usize) -> bool {
        self.outline.ancestors(element).any(|e| self.outline.elements.get(e).is_none_or(super::outline::Element::is_store))
    }

    /// Finds all elements of the wanted names; groups go before shapes of the same name.
    fn find(&mut self, wants: &BTreeMap<&str, Want>) {
        let mut all: Vec<(usize, Want, bool)> = Vec::new();
        for (number, element) in self.outline.elements.iter().enumerate().skip(1) {
            let id = element.id.as_deref();
            let plain = id.map(super::outline::unescaped);
            let names = [element.label.as_deref(), id, plain.as_deref()];
            let want = names.into_iter().flatten().find_map(|name| wants.get(name));
            if let Some(want) = want.filter(|_| (element.is_container() || element.is_graphic()) && !self.is_stored(number)) {
                all.push((number, *want, element.is_container()));
            }
        }
        // A path or a word of the same name is no layer, unless the editor dropped the group around a single path.
        let grouped: Vec<Want> = all.iter().filter(|(.., group)| *group).map(|(_, want, _)| *want).collect();
        let kept = all.into_iter().filter(|(_, want, group)| *group || !grouped.contains(want));
        self.found = kept.map(|(number, want, _)| (number, Found::Wanted(want))).collect();
    }

    fn elements_of(&self, want: Want) -> Vec<usize> {
        let same = |found: &Found| matches!(found, Found::Wanted(other) if *other == want);
        self.found.iter().filter(|(_, found)| same(found)).map(|(number, _)| *number).collect()
    }

    /// Tells of listed layers that are not there, or not to be seen.
    fn report_lists(&self, source: &Source, wants: &BTreeMap<&str, Want>, findings: &mut Findings) {
        for (name, want) in wants {
            let elements = self.elements_of(*want);
            let never = matches!(want, Want::Never(_));
            if elements.is_empty() {
                findings.push(self.missing(name, *want));
            } else if !never && elements.iter().all(|element| self.layers.is_hidden(*element)) {
                let at = elements.first().and_then(|first| self.outline.elements.get(*first)).map_or(0, |e| e.start);
                findings.push(error!("layer-hidden", name).at(source.place(at).element(*name)));
            }
        }
    }

    /// The finding for a name that no element has.
    fn missing(&self, name: &str, want: Want) -> Diagnostic {
        let finding = match want {
            Want::Never(_) => warning!("layer-missing", name),
            _ => error!("layer-missing", name),
        };
        let finding = finding.at(self.request.place(&want.path()));
        let mut names = self.names();
        let likeness = |other: &str| strsim::jaro_winkler(&name.to_lowercase(), &other.to_lowercase());
        names.sort_by(|a, b| likeness(b).total_cmp(&likeness(a)));
        names.truncate(LISTED);
        match names.is_empty() {
            true => finding.hint(words!("layer-missing/none")),
            false => finding.hint(say!("layer-missing/these", choices = or_list(names))),
        }
    }

    /// Names of the groups that could be layers: marked as such, or no more than three deep.
    fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for (number, element) in self.outline.elements.iter().enumerate().skip(1) {
            let shallow = || self.outline.ancestors(number).take(6).count() <= 4;
            if let Some(name) =
                element.visible_name().filter(|_| element.is_container() && shallow() && !self.is_stored(number))
                && names.len() < 1000
                && !names.iter().any(|other| *other == name)
            {
                names.push(name.into_owned());
            }
        }
        names
    }

    /// Without a list of base layers, every visible group that no list names is one; a group that holds listed layers, or
    /// has no name, is looked into instead.
    fn claim_the_rest(&mut self) {
        let holds = self.holders();
        let mut open: BTreeMap<usize, ()> = BTreeMap::from([(0, ())]);
        for (number, element) in self.outline.elements.iter().enumerate().skip(1) {
            let beneath = element.parent.is_some_and(|parent| open.contains_key(&parent));
            if !beneath || self.found.contains_key(&number) || self.layers.is_hidden(number) {
                continue;
            }
            let name = element.visible_name().filter(|_| element.is_container());
            let wraps = holds.get(number).copied().unwrap_or(false);
            match name {
                Some(_) if !wraps && !self.paints(number) => {}
                Some(name) if !wraps => {
                    let base = self.base_number(&name);
                    self.found.insert(number, Found::Base(base));
                }
                _ if element.is_container() => drop(open.insert(number, ())),
                _ => {}
            }
        }
    }

    /// Whether anything in a group is visible.
    fn paints(&self, group: usize) -> bool {
        let graphic = |number: &usize| self.outline.elements.get(*number).is_some_and(super::outline::Element::is_graphic);
        self.outline.inside(group).filter(graphic).any(|number| !self.layers.is_hidden(number))
    }

    fn base_number(&mut self, name: &str) -> usize {
        self.base.iter().position(|known| known == name).unwrap_or_else(|| {
            self.base.push(name.to_owned());
            self.base.len() - 1
        })
    }

    /// Whether each element holds one that a list names.
    fn holders(&self) -> Vec<bool> {
        let mut holds = vec![false; self.outline.elements.len()];
        for element in self.found.keys() {
            for above in self.outline.ancestors(*element).skip(1) {
                match holds.get_mut(above) {
                    Some(known) if !*known => *known = true,
                    _ => break,
                }
            }
        }
        holds
    }

    /// Gives every element to its nearest layer, and numbers the layers.
    fn spread(&mut self) {
        let listed = |finder: &Self, i: usize| finder.request.base_layers.iter().flatten().nth(i).cloned().unwrap_or_default();
        let found: Vec<(usize, Found)> = self.found.iter().map(|(number, found)| (*number, *found)).collect();
        let mut owners: BTreeMap<usize, Owner> = BTreeMap::new();
        for (number, found) in &found {
            let owner = match found {
                Found::Wanted(Want::Never(_)) => Owner::Never,
                // Counted from above until the number of base layers is known.
                Found::Wanted(Want::Size(i)) => Owner::Layer(usize::MAX - i),
                Found::Wanted(Want::Base(i)) => {
                    let name = listed(self, *i);
                    Owner::Layer(self.base_number(&name))
                }
                Found::Base(base) => Owner::Layer(*base),
            };
            owners.insert(*number, owner);
        }
        if self.request.base_layers.is_none() && self.has_loose(&owners) {
            let loose = self.base_number(LOOSE);
            owners.insert(0, Owner::Layer(loose));
        }
        let base = self.base.len();
        let final_number = |owner: &Owner| match owner {
            Owner::Layer(layer) if *layer >= base => Owner::Layer(base + (usize::MAX - layer)),
            other => *other,
        };
        self.give(&owners.iter().map(|(number, owner)| (*number, final_number(owner))).collect());
        let bases = self.base.iter().map(|name| Layer { name: name.clone(), role: Role::Base });
        let sizes = self.request.sizes.iter().enumerate();
        let sizes = sizes.map(|(i, size)| Layer { name: size.layer.clone(), role: Role::Size(i) });
        self.layers.list = bases.chain(sizes).collect();
    }

    /// Whether something is painted outside all layers.
    fn has_loose(&self, owners: &BTreeMap<usize, Owner>) -> bool {
        let mut inside = vec![false; self.outline.elements.len()];
        for (number, element) in self.outline.elements.iter().enumerate() {
            let above = element.parent.is_some_and(|parent| inside.get(parent).copied().unwrap_or(false));
            let is_inside = above || owners.contains_key(&number);
            if let Some(slot) = inside.get_mut(number) {
                *slot = is_inside;
            }
            if !is_inside && element.is_graphic() && !self.layers.is_hidden(number) {
                return true;
            }
        }
        false
    }

    fn give(&mut self, owners: &BTreeMap<usize, Owner>) {
        for (number, element) in self.outline.elements.iter().enumerate() {
            let above =
                element.parent.and_then(|parent| Some((*self.layers.owners.get(parent)?, *self.layers.pieces.get(parent)?)));
            let own = owners.get(&number).copied();
            let owner = own.or(above.map(|(owner, _)| owner)).unwrap_or(Owner::Nobody);
            // A piece is a group directly beneath its layer; what lies deeper belongs to that piece.
            let beneath = element.parent.is_some_and(|parent| owners.contains_key(&parent));
            let piece = match own {
                Some(_) => None,
                None if beneath => element.is_container().then_some(number),
                None => above.and_then(|(_, piece)| piece),
            };
            self.layers.owners.push(owner);
            self.layers.pieces.push(piece);
        }
    }

    /// Visible groups (and loose elements) that no list names, once base layers are listed.
    fn report_unlisted(&self, source: &Source, findings: &mut Findings) {
        if self.request.base_layers.is_none() {
            return;
        }
        let mut groups: Vec<usize> = Vec::new();
        for (number, element) in self.outline.elements.iter().enumerate().skip(1) {
            let nobody = self.layers.owners.get(number) == Some(&Owner::Nobody);
            if element.is_graphic() && nobody && !self.layers.is_hidden(number) {
                // One warning a group, however many things lie in it.
                let top = self.outline.ancestors(number).filter(|e| *e != 0).last().unwrap_or(number);
                let named = self
                    .outline
                    .ancestors(number)
                    .filter(|e| *e != 0 && self.outline.elements.get(*e).is_some_and(|e| e.visible_name().is_some()))
                    .last();
                groups.push(named.unwrap_or(top));
            }
        }
        groups.dedup();
        groups.sort_unstable();
        groups.dedup();
        for group in groups.iter().take(LISTED) {
            let name = self.outline.name_of(*group);
            let at = self.outline.elements.get(*group).map_or(0, |element| element.start);
            findings.push(warning!("layer-unlisted", name).at(source.place(at).element(name)));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::diagnostic::Place;
    use crate::drawing::trial::{drawing, plain, sized, told};
    use crate::drawing::{Drawing, Request, read};
    use crate::manifest::{Places, SizeLayer};

    const LINE: &str = "<path d=\"M0 0h9\" stroke=\"red\"/>";

    fn items(drawing: &Drawing) -> Vec<(String, usize)> {
        let count = |layer| drawing.pieces.iter().filter(|piece| piece.layer == layer).map(|piece| piece.items.len()).sum();
        drawing.layers.iter().enumerate().map(|(number, layer)| (layer.name.clone(), count(number))).collect()
    }

    #[test]
    fn layers_go_by_the_names_of_common_editors() {
        // Labels, data-name, serif:id and escaped ids: forms as common editors write them (common practice).
        let heads = [
            "<g inkscape:groupmode=\"layer\" inkscape:label=\"size 36\" id=\"layer1\">",
            "<g id=\"size_36\" data-name=\"size 36\">",
            "<g id=\"size-36\" serif:id=\"size 36\">",
            "<g id=\"size_x20_36\">",
            "<g id=\"size 36\">",
        ];
        for head in heads {
            let (drawing, findings) =
                sized(&format!("{head}{LINE}</g><g id=\"draft\">{LINE}</g><g id=\"pattern\">{LINE}{LINE}</g>"));
            assert!(findings.is_empty(), "{head}: {findings:?}");
            assert_eq!(items(&drawing.unwrap()), [("pattern".to_owned(), 2), ("size 36".to_owned(), 1)], "{head}");
        }
    }

    #[test]
    fn one_layer_may_lie_in_several_groups_and_deep_in_others() {
        let body = format!(
            "<g id=\"front\"><g data-name=\"size 36\">{LINE}</g>{LINE}</g><g><g id=\"back\"><g data-name=\"size 36\">{LINE}</g><g id=\"draft\">{LINE}</g></g></g>{LINE}"
        );
        let (drawing, findings) = sized(&body);
        assert!(findings.is_empty(), "{findings:?}");
        let found = items(&drawing.unwrap());
        assert_eq!(found, [("drawing".to_owned(), 2), ("size 36".to_owned(), 2)]);
    }

    #[test]
    fn a_drawing_without_groups_is_one_layer() {
        let (drawing, findings) = plain(LINE);
        assert!(findings.is_empty());
        assert_eq!(items(&drawing.unwrap()), [("drawing".to_owned(), 1)]);
    }

    #[test]
    fn a_layer_of_one_path_may_have_lost_its_group() {
        let (drawing, findings) =
            sized(&format!("<path id=\"size_x20_36\" d=\"M0 0h9\" stroke=\"red\"/><g id=\"draft\">{LINE}</g>"));
        assert!(findings.is_empty(), "{findings:?}");
        assert_eq!(items(&drawing.unwrap()), [("size 36".to_owned(), 1)]);
    }

    fn listed(body: &str) -> Vec<(&'static str, String, String)> {
        let mut places = Places::of("kit.yaml");
        places.insert("sizes[0].layer", Place::at("kit.yaml", 7, 20));
        places.insert("base-layers[0]", Place::at("kit.yaml", 9, 3));
        let request = Request {
            sizes: vec![SizeLayer { name: "36".into(), layer: "size 36".into(), shown: true }],
            base_layers: Some(vec!["pattern".into()]),
            places,
            ..Request::plain("a.svg")
        };
        let (_, findings) = read(drawing(body).as_bytes(), &request, &());
        let row = |finding: &crate::diagnostic::Diagnostic| {
            (
                finding.code,
                finding.place.clone().unwrap_or_default().to_string(),
                finding.hints.first().cloned().unwrap_or_default(),
            )
        };
        findings.iter().map(row).collect()
    }

    #[test]
    fn a_missing_layer_points_at_the_manifest_and_lists_the_nearest_first() {
        let found = listed(&format!("<g id=\"pattern\">{LINE}</g><g id=\"words\"/><g id=\"size_x20_38\">{LINE}</g>"));
        assert_eq!((found[0].0, found[0].1.as_str()), ("layer-missing", "kit.yaml:7:20"));
        assert!(found[0].2.contains("has `size 38`"), "{}", found[0].2);
    }

    #[test]
    fn hidden_empty_and_unlisted_layers_are_told() {
        let size = format!("<g id=\"size 36\">{LINE}</g>");
        let hidden = listed(&format!("{size}\n<g id=\"pattern\" style=\"display:none\">{LINE}</g>"));
        assert_eq!((hidden[0].0, hidden[0].1.as_str()), ("layer-hidden", "a.svg:3:1 (element `pattern`)"));
        let by_class = listed(&format!("<style>.h{{display:none}}</style>{size}\n<g id=\"pattern\" class=\"h\">{LINE}</g>"));
        assert_eq!(by_class[0].0, "layer-hidden");
        let empty = listed(&format!("{size}<g id=\"pattern\"/>"));
        assert_eq!((empty[0].0, empty.len()), ("layer-empty", 1));
        let unlisted = listed(&format!("{size}<g id=\"pattern\">{LINE}</g>\n<g id=\"notes\">{LINE}{LINE}</g>"));
        assert_eq!(
            (unlisted[0].0, unlisted[0].1.as_str(), unlisted.len()),
            ("layer-unlisted", "a.svg:3:1 (element `notes`)", 1)
        );
    }

    #[test]
    fn nothing_to_print_is_told_once() {
        assert_eq!(told(&plain("").1), [("drawing-empty", 0, 0)]);
        assert_eq!(told(&plain(&format!("<g display=\"none\">{LINE}</g>")).1), [("drawing-empty", 0, 0)]);
    }
}
