//! Lines that a later step asks for by name: cutting lines, grainlines, folds; taken from the file's own numbers in f64.

use super::layers::{Layers, Owner};
use super::model::Role;
use super::shape::{Immeasurable, Shapes};
use super::source::Source;
use crate::diagnostic::{Place, nearest};
use kurbo::BezPath;

/// A line that is looked for in one size.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sought {
    /// The name that the manifest gives it, a visible name or an id; then nothing else is tried.
    pub exactly: Option<String>,
    /// Names that it may go by otherwise, as [`plain`] writes them; the first that is there counts.
    pub names: Vec<String>,
    /// The plain name of a group that may hold it, and its plain name in there; without one, all that the group holds.
    pub group: (String, Option<String>),
    /// Index of the size; `None` in a kit of one size.
    pub size: Option<usize>,
}

/// A line that was found: its shapes on paper, in mm.
#[derive(Clone, Debug)]
pub struct Traced {
    /// One at least.
    pub paths: Vec<BezPath>,
    /// Where it stands in the drawing.
    pub place: Place,
}

/// Why a line was not found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Untraced {
    /// Nothing goes by any of its names; a name that is like it, if there is one.
    Missing(Option<String>),
    /// Several elements go by one name.
    Several(String, usize),
    /// The element is no line, for a reason.
    Unfit(String, &'static str),
}

/// A name without what people write in different ways: small letters and digits, with single hyphens between them.
pub fn plain(name: &str) -> String {
    let spaced: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    spaced.to_lowercase().split_whitespace().collect::<Vec<_>>().join("-")
}

/// What lines are taken from.
pub struct Tracer<'a> {
    source: &'a Source<'a>,
    shapes: &'a Shapes<'a>,
    layers: &'a Layers,
    /// The plain names of each element: of its label, and of its id.
    names: Vec<[String; 2]>,
}

/// Looks for all of them; nothing is read if none is asked for.
pub fn trace(source: &Source, shapes: &Shapes, layers: &Layers, sought: &[Sought]) -> Vec<Result<Traced, Untraced>> {
    if sought.is_empty() {
        return Vec::new();
    }
    let name = |text: &Option<std::borrow::Cow<str>>| text.as_deref().map(plain).unwrap_or_default();
    let elements = &shapes.outline.elements;
    let named = |e: &super::outline::Element| {
        [name(&e.label), e.id.as_deref().map(|id| plain(&super::outline::unescaped(id))).unwrap_or_default()]
    };
    let tracer = Tracer { source, shapes, layers, names: elements.iter().map(named).collect() };
    sought.iter().map(|one| tracer.find(one)).collect()
}

impl Tracer<'_> {
    fn find(&self, sought: &Sought) -> Result<Traced, Untraced> {
        let outline = self.shapes.outline;
        if let Some(name) = &sought.exactly {
            let called = |e: usize| outline.elements.get(e).is_some_and(|e| e.is_called(name));
            return match self.chosen(sought.size, called).as_slice() {
                [] => Err(Untraced::Missing(self.like(&plain(name)))),
                [only] => self.line(*only, name),
                several => Err(Untraced::Several(name.clone(), several.len())),
            };
        }
        for name in &sought.names {
            match self.chosen(sought.size, |e| self.goes_by(e, name)).as_slice() {
                [] => {}
                [only] => return self.line(*only, name),
                several => return Err(Untraced::Several(name.clone(), several.len())),
            }
        }
        self.in_group(sought)
    }

    /// What lies in printed groups of the sought name.
    fn in_group(&self, sought: &Sought) -> Result<Traced, Untraced> {
        let outline = self.shapes.outline;
        let (group, inner) = &sought.group;
        let held = |e: usize| {
            let named = inner.as_ref().is_none_or(|inner| outline.ancestors(e).any(|e| self.goes_by(e, inner)));
            named && outline.ancestors(e).skip(1).any(|e| self.goes_by(e, group)) && self.layers.printed(e).is_some()
        };
        let shape = |e: usize| outline.elements.get(e).is_some_and(|e| e.is_shape() || e.tag == "use");
        let found = self.chosen(sought.size, |e| shape(e) && held(e));
        let paths: Vec<BezPath> = found.iter().filter_map(|e| self.shapes.on_paper(*e).ok()).collect();
        match found.first() {
            Some(first) if !paths.is_empty() => Ok(Traced { paths, place: self.place(*first) }),
            _ => Err(Untraced::Missing(sought.names.first().and_then(|name| self.like(name)))),
        }
    }

    /// Elements that are painted where they stand, of the layer of the size if any is there, else of what belongs to no size.
    fn chosen(&self, size: Option<usize>, wanted: impl Fn(usize) -> bool) -> Vec<usize> {
        let outline = self.shapes.outline;
        let stored = |e: usize| outline.ancestors(e).any(|e| outline.elements.get(e).is_none_or(|e| e.is_store()));
        let all = (0..outline.elements.len()).filter(|e| wanted(*e) && !stored(*e));
        let (own, other): (Vec<usize>, Vec<usize>) = all.partition(|e| size.is_some() && self.size_of(*e) == size);
        if own.is_empty() { other.into_iter().filter(|e| self.size_of(*e).is_none()).collect() } else { own }
    }

    fn goes_by(&self, element: usize, name: &str) -> bool {
        self.names.get(element).is_some_and(|own| own.iter().any(|own| own == name))
    }

    /// The size on whose layer an element lies.
    fn size_of(&self, element: usize) -> Option<usize> {
        let Some(Owner::Layer(layer)) = self.layers.owners.get(element) else { return None };
        match self.layers.list.get(*layer)?.role {
            Role::Size(size) => Some(size),
            Role::Base => None,
        }
    }

    fn line(&self, element: usize, name: &str) -> Result<Traced, Untraced> {
        let outline = self.shapes.outline;
        let parts = outline.inside(element).filter(|e| outline.elements.get(*e).is_some_and(|e| e.is_graphic()));
        let read = parts.map(|part| self.shapes.on_paper(part)).collect::<Result<Vec<_>, _>>();
        match read {
            Err(Immeasurable(why)) => Err(Untraced::Unfit(name.to_owned(), why)),
            Ok(paths) if paths.is_empty() => Err(Untraced::Unfit(name.to_owned(), words!("holds-no-shape"))),
            Ok(paths) => Ok(Traced { paths, place: self.place(element) }),
        }
    }

    fn place(&self, element: usize) -> Place {
        let start = self.shapes.outline.elements.get(element).map_or(0, |e| e.start);
        self.source.place(start).element(self.shapes.outline.name_of(element))
    }

    /// The name in the drawing that is most like one that is not there.
    fn like(&self, name: &str) -> Option<String> {
        let elements = self.shapes.outline.elements.iter().filter(|e| !e.is_store());
        let names: Vec<String> = elements.filter_map(|e| Some(e.visible_name()?.into_owned())).collect();
        nearest(name, names.iter().map(String::as_str)).map(str::to_owned)
    }
}
