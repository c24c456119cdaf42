//! Basic shapes and paths from the file's own numbers, in f64, for measuring.

use super::outline::Outline;
use super::viewport;
use kurbo::{Affine, Arc, BezPath, Line, PathEl, Point, Rect, Shape, Size, SvgArc, Vec2};
use svgtypes::{LengthUnit, PathParser, PathSegment, PointsParser};

/// Farthest from the origin, in mm, that a shape is measured. The solvers of curves halve their steps until they are as fine as is
/// asked; a thousand times farther out, numbers are not as fine as that, and they would halve for ever.
const FARTHEST: f64 = 1e6;

/// Why a shape cannot be measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Immeasurable(pub &'static str);

/// Reads shapes of one drawing.
pub struct Shapes<'a> {
    /// The drawing's elements.
    pub outline: &'a Outline<'a>,
    /// From user units to mm on paper.
    pub to_paper: Affine,
    /// User units an inch.
    pub per_inch: f64,
    /// How far a circle or arc may be off its curve, in the shape's own units.
    pub off: f64,
}

impl Shapes<'_> {
    /// A shape on paper, in mm.
    pub fn on_paper(&self, element: usize) -> Result<BezPath, Immeasurable> {
        let tag = self.outline.elements.get(element).map_or("", |e| e.tag);
        let local = if tag == "use" { self.cloned(element)? } else { self.local(element, tag)? };
        let path = self.chain(element)? * local;
        let Rect { x0, y0, x1, y1 } = path.control_box();
        let near = path.is_finite() && [x0, y0, x1, y1].iter().all(|at| at.abs() <= FARTHEST);
        near.then_some(path).ok_or(Immeasurable(words!("reaches-too-far")))
    }

    /// The shape that a `use` shows, in the units in which the `use` stands; clones of anything else are not measured.
    fn cloned(&self, clone: usize) -> Result<BezPath, Immeasurable> {
        let href = self.outline.href(clone).unwrap_or_default();
        let shape = href.strip_prefix('#').and_then(|id| self.outline.by_id.get(id)).copied();
        let found = shape.and_then(|shape| Some((shape, self.outline.elements.get(shape)?)));
        let Some((shape, element)) = found.filter(|(_, element)| element.is_shape()) else {
            return Err(Immeasurable(words!("is-clone-of-several")));
        };
        let at = Vec2::new(self.length(clone, "x")?.unwrap_or(0.0), self.length(clone, "y")?.unwrap_or(0.0));
        Ok(Affine::translate(at) * self.own(shape)? * self.local(shape, element.tag)?)
    }

    /// An element's own transform.
    fn own(&self, element: usize) -> Result<Affine, Immeasurable> {
        // Rare, and its percentages depend on boxes: better told than measured wrongly.
        if self.property(element, "transform-origin").is_some() {
            return Err(Immeasurable(words!("lies-in-group")));
        }
        let own = self.property(element, "transform").filter(|own| own != "none");
        own.map_or(Ok(Affine::IDENTITY), |own| viewport::transform(&own).ok_or(Immeasurable(words!("has-transform-cannot"))))
    }

    /// All transforms around an element, its own included.
    fn chain(&self, element: usize) -> Result<Affine, Immeasurable> {
        let mut all = Affine::IDENTITY;
        for number in self.outline.ancestors(element) {
            let Some(e) = self.outline.elements.get(number).filter(|e| e.parent.is_some()) else { continue };
            if e.tag == "svg" {
                all = self.nested(number)? * all;
            }
            all = self.own(number)? * all;
        }
        Ok(self.to_paper * all)
    }

    /// The viewport of a nested `svg`.
    fn nested(&self, svg: usize) -> Result<Affine, Immeasurable> {
        let at = Vec2::new(self.length(svg, "x")?.unwrap_or(0.0), self.length(svg, "y")?.unwrap_or(0.0));
        let Some(view) = self.outline.attribute(svg, "viewBox") else { return Ok(Affine::translate(at)) };
        let view = viewport::view_box(&view).ok_or(Immeasurable(words!("svg-without-view-box")))?;
        let (Some(width), Some(height)) = (self.length(svg, "width")?, self.length(svg, "height")?) else {
            return Err(Immeasurable(words!("svg-without-size")));
        };
        let aspect = self.outline.attribute(svg, "preserveAspectRatio").and_then(|a| a.parse().ok()).unwrap_or_default();
        Ok(Affine::translate(at) * viewport::fit(view, Size::new(width, height), aspect))
    }

    /// A property from the style attribute, else from the attribute of that name.
    fn property(&self, element: usize, key: &str) -> Option<String> {
        let style = self.outline.attribute(element, "style").unwrap_or_default();
        let own = simplecss::DeclarationTokenizer::from(&*style).filter(|d| d.name == key).last().map(|d| d.value.to_owned());
        own.or_else(|| self.outline.attribute(element, key).map(|value| value.into_owned()))
    }

    /// A length in user units; `None` if it is not given.
    fn length(&self, element: usize, key: &str) -> Result<Option<f64>, Immeasurable> {
        let Some(value) = self.outline.attribute(element, key) else { return Ok(None) };
        if value.trim() == "auto" {
            return Ok(None);
        }
        if let Some(quarters) = super::numbers::quarters(&value) {
            return Ok(Some(quarters / 101.6 * self.per_inch));
        }
        let length: svgtypes::Length = value.trim().parse().map_err(|_| Immeasurable(words!("has-length-cannot")))?;
        let units = match length.unit {
            LengthUnit::None | LengthUnit::Px => 1.0,
            LengthUnit::In => self.per_inch,
            LengthUnit::Cm => self.per_inch / 2.54,
            LengthUnit::Mm => self.per_inch / 25.4,
            LengthUnit::Pt => self.per_inch / 72.0,
            LengthUnit::Pc => self.per_inch / 6.0,
            LengthUnit::Percent | LengthUnit::Em | LengthUnit::Ex => {
                return Err(Immeasurable(words!("size-is-not")));
            }
        };
        Ok(Some(length.number * units))
    }

    /// A shape in its own units, before all transforms.
    pub fn local(&self, element: usize, tag: &str) -> Result<BezPath, Immeasurable> {
        let length = |key| Ok::<f64, Immeasurable>(self.length(element, key)?.unwrap_or(0.0));
        let point = |x, y| Ok::<Point, Immeasurable>(Point::new(length(x)?, length(y)?));
        match tag {
            "path" => path(&self.outline.attribute(element, "d").unwrap_or_default(), self.off),
            "line" => Ok(Line::new(point("x1", "y1")?, point("x2", "y2")?).to_path(self.off)),
            "polyline" | "polygon" => {
                let points = self.outline.attribute(element, "points").unwrap_or_default();
                Ok(polyline(&points, tag == "polygon"))
            }
            "circle" => Ok(ellipse(point("cx", "cy")?, Vec2::splat(length("r")?), self.off)),
            "ellipse" => {
                let (rx, ry) = (self.length(element, "rx")?, self.length(element, "ry")?);
                let radii = Vec2::new(rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0));
                Ok(ellipse(point("cx", "cy")?, radii, self.off))
            }
            "rect" => {
                let (rx, ry) = (self.length(element, "rx")?, self.length(element, "ry")?);
                let rect = Rect::from_origin_size(point("x", "y")?, Size::new(length("width")?, length("height")?));
                Ok(rectangle(rect, rx.or(ry).unwrap_or(0.0), ry.or(rx).unwrap_or(0.0), self.off))
            }
            "use" => Err(Immeasurable(words!("is-a-clone"))),
            "text" => Err(Immeasurable(words!("is-text"))),
            "image" => Err(Immeasurable(words!("is-a-picture"))),
            _ => Err(Immeasurable(words!("is-no-shape"))),
        }
    }
}

fn polyline(points: &str, closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (x, y) in PointsParser::from(points) {
        path.push(if path.elements().is_empty() { PathEl::MoveTo((x, y).into()) } else { PathEl::LineTo((x, y).into()) });
    }
    if closed && !path.elements().is_empty() {
        path.close_path();
    }
    path
}

/// A rectangle with elliptic corners (SVG 2, "The rect element": radii are capped at half the sides).
fn rectangle(rect: Rect, rx: f64, ry: f64, off: f64) -> BezPath {
    let (rx, ry) = (rx.min(rect.width() / 2.0), ry.min(rect.height() / 2.0));
    if rx <= 0.0 || ry <= 0.0 {
        return rect.to_path(off);
    }
    let Rect { x0, y0, x1, y1 } = rect;
    let mut pen = Pen { off, ..Pen::default() };
    pen.move_to(Point::new(x0 + rx, y0));
    let sides = [
        (Point::new(x1 - rx, y0), Point::new(x1, y0 + ry)),
        (Point::new(x1, y1 - ry), Point::new(x1 - rx, y1)),
        (Point::new(x0 + rx, y1), Point::new(x0, y1 - ry)),
        (Point::new(x0, y0 + ry), Point::new(x0 + rx, y0)),
    ];
    for (straight, round) in sides {
        pen.line_to(straight);
        pen.arc_to(Vec2::new(rx, ry), 0.0, false, true, round);
    }
    pen.path.close_path();
    pen.path
}

/// An ellipse that starts at its right and runs through its foot, as SVG 2, "Basic shapes", says: dashes start there.
fn ellipse(center: Point, radii: Vec2, off: f64) -> BezPath {
    let mut path = BezPath::new();
    if radii.x > 0.0 && radii.y > 0.0 {
        path.move_to(center + Vec2::new(radii.x, 0.0));
        path.extend(Arc::new(center, radii, 0.0, std::f64::consts::TAU, 0.0).append_iter(off));
        path.close_path();
    }
    path
}

fn path(data: &str, off: f64) -> Result<BezPath, Immeasurable> {
    let mut pen = Pen { off, ..Pen::default() };
    for segment in PathParser::from(data) {
        pen.draw(segment.map_err(|_| Immeasurable(words!("path-cannot-be-read")))?);
    }
    Ok(pen.path)
}

/// Draws path segments as SVG 2, "Path data", says.
#[derive(Default)]
struct Pen {
    path: BezPath,
    start: Point,
    at: Point,
    /// Control point of the curve before, for smooth ones: of a cubic, of a quadratic.
    cubic: Option<Point>,
    quadratic: Option<Point>,
    /// How far an arc may be off its curve.
    off: f64,
    /// A path was closed, so the next segment needs a start of its own.
    closed: bool,
}

impl Pen {
    fn move_to(&mut self, to: Point) {
        self.path.move_to(to);
        (self.start, self.at, self.closed) = (to, to, false);
    }

    fn reopen(&mut self) {
        if std::mem::take(&mut self.closed) {
            self.path.move_to(self.start);
        }
    }

    fn line_to(&mut self, to: Point) {
        self.reopen();
        self.path.line_to(to);
        self.at = to;
    }

    fn cubic_to(&mut self, a: Point, b: Point, to: Point) {
        self.reopen();
        self.path.curve_to(a, b, to);
        (self.at, self.cubic) = (to, Some(b));
    }

    fn quadratic_to(&mut self, a: Point, to: Point) {
        self.reopen();
        self.path.quad_to(a, to);
        (self.at, self.quadratic) = (to, Some(a));
    }

    fn arc_to(&mut self, radii: Vec2, turn: f64, large_arc: bool, sweep: bool, to: Point) {
        self.reopen();
        let arc = SvgArc { from: self.at, to, radii, x_rotation: turn.to_radians(), large_arc, sweep };
        match Arc::from_svg_arc(&arc) {
            Some(arc) => self.path.extend(arc.append_iter(self.off)),
            None => self.path.line_to(to),
        }
        self.at = to;
    }

    /// One segment of path data.
    fn draw(&mut self, segment: PathSegment) {
        use PathSegment as S;
        // Control points of the curve before count only for the segment right after it.
        let base = if segment.is_abs() { Vec2::ZERO } else { self.at.to_vec2() };
        let point = |x: f64, y: f64| Point::new(x, y) + base;
        let cubic = self.cubic.take().map_or(self.at, |control| self.at + (self.at - control));
        let quadratic = self.quadratic.take().map_or(self.at, |control| self.at + (self.at - control));
        match segment {
            S::MoveTo { x, y, .. } => self.move_to(point(x, y)),
            S::LineTo { x, y, .. } => self.line_to(point(x, y)),
            S::HorizontalLineTo { x, .. } => self.line_to(Point::new(x + base.x, self.at.y)),
            S::VerticalLineTo { y, .. } => self.line_to(Point::new(self.at.x, y + base.y)),
            S::CurveTo { x1, y1, x2, y2, x, y, .. } => self.cubic_to(point(x1, y1), point(x2, y2), point(x, y)),
            S::SmoothCurveTo { x2, y2, x, y, .. } => self.cubic_to(cubic, point(x2, y2), point(x, y)),
            S::Quadratic { x1, y1, x, y, .. } => self.quadratic_to(point(x1, y1), point(x, y)),
            S::SmoothQuadratic { x, y, .. } => self.quadratic_to(quadratic, point(x, y)),
            S::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
                self.arc_to(Vec2::new(rx, ry), x_axis_rotation, large_arc, sweep, point(x, y));
            }
            S::ClosePath { .. } => {
                self.path.close_path();
                (self.at, self.closed) = (self.start, true);
            }
        }
    }
}
