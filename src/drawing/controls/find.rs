//! Elements to be measured, found by the names that the publisher knows, and their shapes on paper.

use super::super::layers::Owner;
use super::super::model::Role;
use super::super::outline::Outline;
use super::super::shape::Immeasurable;
use super::Ground;
use crate::diagnostic::{Diagnostic, Place, nearest};
use crate::manifest::Control;
use kurbo::BezPath;

/// The shapes of a named element.
pub struct Found {
    /// On paper, in mm; one at least.
    pub paths: Vec<BezPath>,
    /// The printed layer of all of them; `None` if any of them is not printed.
    pub layer: Option<usize>,
}

/// The element of a name for a control: in the layer of its size if that has one, else in what belongs to no size.
pub fn find(control: &Control, name: &str, ground: &Ground, place: &Place) -> Result<Found, Diagnostic> {
    let element = element(control, name, ground, place)?;
    let outline = ground.shapes.outline;
    let parts = outline.inside(element).filter(|e| outline.elements.get(*e).is_some_and(|e| e.is_graphic()));
    let parts: Vec<usize> = parts.collect();
    let fault = |why| immeasurable(control, name, &why, place);
    // One part that cannot be measured spoils the whole: a width without it would be wrong.
    let paths: Vec<BezPath> =
        parts.iter().map(|part| ground.shapes.on_paper(*part)).collect::<Result<_, _>>().map_err(fault)?;
    if paths.is_empty() {
        return Err(immeasurable(control, name, &Immeasurable(words!("holds-no-shape")), place));
    }
    let printed = parts.iter().map(|part| ground.layers.printed(*part)).collect::<Option<Vec<usize>>>();
    Ok(Found { paths, layer: printed.and_then(|layers| layers.first().copied()) })
}

/// The finding for an element that is there and yet cannot be measured.
pub fn immeasurable(control: &Control, name: &str, Immeasurable(why): &Immeasurable, place: &Place) -> Diagnostic {
    error!("control-element/unfit", name, control = control.name, why).at(place.clone())
}

/// The one element of a name, which must not lie in store.
fn element(control: &Control, name: &str, ground: &Ground, place: &Place) -> Result<usize, Diagnostic> {
    let outline = ground.shapes.outline;
    let stored = |e: usize| outline.ancestors(e).any(|e| outline.elements.get(e).is_none_or(|e| e.is_store()));
    let called = outline.elements.iter().enumerate().filter(|(_, e)| e.is_called(name));
    let called: Vec<usize> = called.map(|(number, _)| number).filter(|number| !stored(*number)).collect();
    let chosen = match control.size {
        None => called,
        Some(size) => {
            let (own, other): (Vec<usize>, Vec<usize>) = called.into_iter().partition(|e| size_of(*e, ground) == Some(size));
            if own.is_empty() { other.into_iter().filter(|e| size_of(*e, ground).is_none()).collect() } else { own }
        }
    };
    match chosen.as_slice() {
        [only] => Ok(*only),
        [] => Err(lacking(control, name, outline, place)),
        several => Err(error!("control-element/several", count = several.len(), name).at(place.clone())),
    }
}

/// The size on whose layer an element lies.
fn size_of(element: usize, ground: &Ground) -> Option<usize> {
    let Some(Owner::Layer(layer)) = ground.layers.owners.get(element) else { return None };
    match ground.layers.list.get(*layer)?.role {
        Role::Size(size) => Some(size),
        Role::Base => None,
    }
}

fn lacking(control: &Control, name: &str, outline: &Outline, place: &Place) -> Diagnostic {
    let elements = outline.elements.iter().filter(|e| !e.is_store());
    let names: Vec<String> = elements.filter_map(|e| Some(e.visible_name()?.into_owned())).collect();
    let finding = match control.size {
        None => error!("control-element/unknown", name),
        Some(_) => error!("control-element/size", name, control = control.name),
    };
    let finding = finding.at(place.clone());
    // A name that is there, but in the layer of another size, is no slip of the pen.
    match nearest(name, names.iter().map(String::as_str).filter(|near| *near != name)) {
        Some(near) => finding.hint(say!("control-element/near", near)),
        None => finding.hint(words!("control-element/name-it")),
    }
}
