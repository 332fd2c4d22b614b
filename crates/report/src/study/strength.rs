//! Strength of the lines: what presses on each, what bears it, and what the fitter must see to.

mod liquid;
mod movement;
mod pulsation;

use super::{
    ledger::Ledger,
    resolve::{ResolvedLine, ResolvedSet, words},
    size, wording,
};
use crate::{
    figure::{self, Units},
    job::{Joints, PartKind, PressureReading},
    view::{BoundView, CheckView, PressurePairView, StrengthView, TubeRatingView},
};
use liquid::SurgeFound;
use physics::{
    check::{Check, CheckKind, Limit, Measure, Sense, Verdict, Whose, Why},
    fluid::Refrigerant,
    operation::OperatingPoint,
    outcome::Method,
    sizing::{Judged, Service, pressure_check},
    strength::{
        Joint, Temper, Tolerance,
        bounds::{Bound, Governing, What, governing, governing_among},
        working_pressure,
    },
    units::{
        AbsolutePressure, BubbleTemperature, GaugePressure, Pressure, ThermodynamicTemperature,
        unit::{length::millimeter, pressure::pascal, thermodynamic_temperature::degree_celsius},
    },
};
use tables::{
    Library, Source, Sourced,
    strength::StressBasis,
    tubes::{DimensionUnit, Form, Temper as Delivered, TubeProduct},
};

/// Parts that can shut a line, by hand, by a coil or by themselves.
pub(super) const CLOSES: [PartKind; 7] = [
    PartKind::BallValve,
    PartKind::SolenoidValve,
    PartKind::CheckValve,
    PartKind::ServiceValve,
    PartKind::HeadPressureValve,
    PartKind::GlobeValve,
    PartKind::AngleValve,
];

/// What all lines of a set are held against.
#[derive(Clone, Debug)]
pub(crate) struct SetStrength {
    /// The site's atmosphere; absent where the altitude leaves the standard atmosphere.
    pub(crate) atmosphere: Option<AbsolutePressure>,
    /// Of discharge, liquid and drain.
    pub(crate) high_side: DesignTemperature,
    /// Of suction.
    pub(crate) low_side: DesignTemperature,
    /// Design pressure that a low side never goes below.
    pub(crate) low_side_least: GaugePressure,
    /// Temperature at which the lines are fitted.
    pub(crate) fitted: ThermodynamicTemperature,
    /// Whether that is taken by default.
    pub(crate) fitted_by_default: bool,
}

/// Temperature whose bubble pressure a side must hold at standstill.
#[derive(Clone, Debug)]
pub(crate) struct DesignTemperature {
    pub(crate) temperature: ThermodynamicTemperature,
    /// The rule that it follows, and its source; none where the job states it.
    pub(crate) rule: Option<(&'static str, Source)>,
}

impl DesignTemperature {
    /// The warmer of two, with its own source.
    pub(crate) fn warmer(one: Self, other: Self) -> Self {
        if other.temperature > one.temperature { other } else { one }
    }

    fn words(&self) -> String {
        match &self.rule {
            Some((rule, source)) => format!("{rule}: {}", words(source)),
            None => "the job file".to_owned(),
        }
    }
}

impl SetStrength {
    /// Where the temperature comes from that the high side must stand.
    pub(super) fn high_side_words(&self) -> String {
        self.high_side.words()
    }

    fn side(&self, service: Service) -> &DesignTemperature {
        if service == Service::Suction { &self.low_side } else { &self.high_side }
    }

    /// What was assumed, each with the key that changes it.
    pub(super) fn assumptions(&self, services: impl Iterator<Item = Service>, units: Units) -> Vec<String> {
        let mut said = Vec::new();
        let mut moves = false;
        for service in services {
            let side = self.side(service);
            if side.rule.is_some() {
                let which = if service == Service::Suction { "low side" } else { "high side" };
                let text = format!(
                    "at standstill the {which} must hold the bubble pressure at {}, {} (key \
                     strength.design_temperature)",
                    figure::temperature(side.temperature.get::<degree_celsius>()).both(units),
                    side.words()
                );
                if !said.contains(&text) {
                    said.push(text);
                }
            }
            moves |= matches!(service, Service::Discharge | Service::Suction);
        }
        if self.fitted_by_default && moves {
            said.push(format!(
                "lines are fitted at {} (key places.indoors.air)",
                figure::temperature(self.fitted.get::<degree_celsius>()).both(units)
            ));
        }
        said
    }
}

/// Working pressure of a tube, and what it stands on.
#[derive(Clone, Debug)]
struct Rating {
    basis: StressBasis,
    temper: Temper,
    temperature: ThermodynamicTemperature,
    stress: Sourced<Pressure>,
    tolerance: Sourced<Tolerance>,
    working: GaugePressure,
    method: Method,
    assumed: Option<String>,
}

/// All that presses on one side of a set or bears its pressure.
struct Pressures {
    design: DesignTemperature,
    /// Pressure at standstill, or why it is not known.
    standstill: Result<Bound, String>,
    bounds: Vec<Bound>,
    /// Names of the rated parts, those of the set first.
    parts: Vec<String>,
}

impl Pressures {
    /// Standstill, guards and ratings of the set, as far as they meet a service.
    fn new(set: &ResolvedSet<'_>, service: Service, library: &Library) -> Self {
        let design = set.strength.side(service).clone();
        let standstill = standstill(set, service, design.temperature, library);
        let mut pressures =
            Self { bounds: standstill.iter().copied().collect(), design, standstill, parts: Vec::new() };
        let atmosphere = set.strength.atmosphere;
        let guards = &set.set.strength;
        // Cut-out and relief guard the high side.
        if service != Service::Suction {
            for (what, setting) in [(What::CutOut, guards.cut_out), (What::Relief, guards.relief)] {
                let pressure = setting.and_then(|setting| gauge(setting.value, atmosphere));
                pressures.bounds.extend(pressure.map(|pressure| exact(what, pressure)));
            }
        }
        for (name, rated) in &guards.ratings {
            pressures.rate(&name.value, rated.value, atmosphere);
        }
        pressures
    }

    fn rate(&mut self, name: &str, rated: PressureReading, atmosphere: Option<AbsolutePressure>) {
        let what = What::Part(self.parts.len());
        self.bounds.extend(gauge(rated, atmosphere).map(|pressure| exact(what, pressure)));
        self.parts.push(name.to_owned());
    }

    /// Why the pressure at standstill is not known, unless a relief valve stands above it.
    fn unknown(&self) -> Option<&String> {
        let relieved = self.bounds.iter().any(|bound| bound.what == What::Relief);
        self.standstill.as_ref().err().filter(|_| !relieved)
    }

    /// The lowest of those that bear.
    fn lowest(&self, bears: impl Fn(What) -> bool) -> Option<&Bound> {
        let bearing = self.bounds.iter().filter(|bound| bears(bound.what));
        bearing.min_by(|a, b| a.pressure.get().value.total_cmp(&b.pressure.get().value))
    }

    /// Ratings and relief of the set alone, which no line changes.
    fn of_equipment(&self) -> Option<(Check, Option<Governing>)> {
        let rated = self.lowest(|what| matches!(what, What::Part(_) | What::Relief))?.pressure;
        let pair = governing(&self.bounds);
        Some((check(CheckKind::RatedPressure, pair, rated, self.unknown().is_some()), pair))
    }

    /// A check as printed.
    fn check_view(
        &self,
        check: &Check,
        pair: Option<Governing>,
        source: String,
        missing: Option<&String>,
        units: Units,
    ) -> CheckView {
        let mut view = size::check_view(check, source);
        view.limit = view.limit.filter(|limit| limit.is_finite());
        if let Verdict::NotChecked(why) = check.verdict {
            view.missing = Some(missing.cloned().unwrap_or_else(|| wording::why(why)));
        } else if let Some(pair) = pair {
            let [pressing, bearing] = [pair.pressing, pair.bearing].map(|bound| self.name(bound.what, units));
            view.remarks.push(format!("{pressing} against {bearing} (gauge pressures)"));
        }
        view
    }

    /// What a bound belongs to, in a phrase.
    fn name(&self, what: What, units: Units) -> String {
        let design_c = self.design.temperature.get::<degree_celsius>();
        match what {
            What::BubblePressure => format!("standstill at {}", figure::temperature(design_c).both(units)),
            What::Surge => "the surge of the fast valve".to_owned(),
            What::CutOut => "the cut-out".to_owned(),
            What::Relief => "the relief".to_owned(),
            What::Tube => "the tube".to_owned(),
            What::Part(_) => format!("the rating of the {}", self.word(what)),
            _ => self.word(what),
        }
    }

    /// A bound's own word in the JSON.
    fn word(&self, what: What) -> String {
        match what {
            What::BubblePressure => "standstill".to_owned(),
            What::Surge => "surge".to_owned(),
            What::CutOut => "cut-out".to_owned(),
            What::Relief => "relief".to_owned(),
            What::Tube => "tube".to_owned(),
            What::Part(index) => self.parts.get(index).cloned().unwrap_or_default(),
            _ => "pressure".to_owned(),
        }
    }
}

/// What the ratings and the relief of the equipment make of the pressures of the high side; none where none is stated.
pub(super) fn equipment_check(set: &ResolvedSet<'_>, library: &Library, units: Units) -> Option<CheckView> {
    let pressures = Pressures::new(set, Service::Discharge, library);
    let (check, pair) = pressures.of_equipment()?;
    let source = "ratings and relief as stated in the job file".to_owned();
    Some(pressures.check_view(&check, pair, source, pressures.unknown(), units))
}

/// Strength of one line in one tube.
pub(super) struct LineStrength {
    service: Service,
    pressures: Pressures,
    rating: Result<Rating, String>,
    /// Surge of a fast valve, or why it is not known.
    surge: Result<Option<SurgeFound>, String>,
    /// How many of the rated parts are those of the set.
    of_set: usize,
}

impl LineStrength {
    fn new(
        set: &ResolvedSet<'_>,
        line: &ResolvedLine<'_>,
        product: &TubeProduct,
        judged: &Judged,
        library: &Library,
    ) -> Self {
        let joint = match line.text.joints.map(|joints| joints.value) {
            Some(Joints::Mechanical) => Joint::Mechanical,
            Some(Joints::Brazed) | None => Joint::Brazed,
        };
        let mut pressures = Pressures::new(set, line.service, library);
        let of_set = pressures.parts.len();
        let rating = rate(product, joint, hottest(set, line.service, pressures.design.temperature), library);
        let surge = liquid::surge_of(set, line, product, judged, library);
        if let Ok(Some(surge)) = &surge {
            pressures.bounds.push(surge.bound(set.density_band));
        }
        if let Ok(rating) = &rating {
            pressures.bounds.push(exact(What::Tube, rating.working));
        }
        for part in line.text.parts.iter().map(|part| &part.value) {
            if let Some(rated) = part.rated {
                pressures.rate(part.kind.name(), rated, set.strength.atmosphere);
            }
        }
        Self { service: line.service, pressures, rating, surge, of_set }
    }

    /// The pairs that the tube has a say in: what it bears, and the surge, which is that of its velocity.
    fn of_tube(&self) -> Option<Governing> {
        governing_among(&self.pressures.bounds, |pressing, bearing| {
            bearing == What::Tube || pressing == What::Surge
        })
    }

    /// The pairs of the rated parts in the line, without the surge.
    fn of_parts(&self) -> Option<Governing> {
        governing_among(&self.pressures.bounds, |pressing, bearing| {
            self.is_own_part(bearing) && pressing != What::Surge
        })
    }

    fn is_own_part(&self, what: What) -> bool {
        matches!(what, What::Part(index) if index >= self.of_set)
    }

    /// Why a pressure that may govern is not known.
    fn unknown(&self) -> Option<&String> {
        self.pressures.unknown().or(self.surge.as_ref().err())
    }

    /// The checks that join those of the march.
    fn checks(&self) -> Vec<Check> {
        let unknown = self.unknown().is_some();
        let of_tube = match &self.rating {
            Err(_) => not_checked(CheckKind::WorkingPressure, None, Why::Unrated),
            Ok(rating) => check(CheckKind::WorkingPressure, self.of_tube(), rating.working, unknown),
        };
        let own = self.pressures.lowest(|what| self.is_own_part(what));
        let of_parts = own.map(|own| check(CheckKind::RatedPressure, self.of_parts(), own.pressure, unknown));
        std::iter::once(of_tube).chain(of_parts).collect()
    }

    /// The check that refuses this tube at any run; the surge of a valve that takes its time grows with the run.
    pub(super) fn stops(&self) -> Option<CheckKind> {
        let slow = matches!(&self.surge, Ok(Some(surge)) if !surge.is_at_once());
        let pair = self.of_tube()?;
        let refuses = matches!(pair.verdict, Verdict::Fails | Verdict::TooClose);
        (refuses && !(slow && pair.pressing.what == What::Surge)).then_some(CheckKind::WorkingPressure)
    }

    /// A check of this file as printed; none for those of the march.
    pub(super) fn check_view(&self, check: &Check, units: Units) -> Option<CheckView> {
        let pair = match check.kind {
            CheckKind::WorkingPressure => self.of_tube(),
            CheckKind::RatedPressure => self.of_parts(),
            _ => return None,
        };
        let source = match pair.map(|pair| pair.bearing.what) {
            Some(What::Tube) => self.rating.as_ref().map(Rating::source).unwrap_or_default(),
            _ => "the maker's rating, as stated in the job file".to_owned(),
        };
        let missing = match &self.rating {
            Err(reason) if check.kind == CheckKind::WorkingPressure => Some(reason),
            _ => self.unknown(),
        };
        Some(self.pressures.check_view(check, pair, source, missing, units))
    }

    /// What the sheet says of strength beside the checks.
    pub(super) fn view(
        &self,
        set: &ResolvedSet<'_>,
        line: &ResolvedLine<'_>,
        product: &TubeProduct,
        library: &Library,
    ) -> StrengthView {
        let bears = |what| matches!(what, What::Tube | What::Part(_) | What::Relief);
        let presses = |what| !matches!(what, What::Tube | What::Part(_));
        let pressures = &self.pressures;
        let bounds = pressures.bounds.iter().map(|bound| BoundView {
            name: pressures.word(bound.what),
            presses: presses(bound.what),
            bears: bears(bound.what),
            gauge_pa: bound.pressure.get().value,
            band_pa: bound.half_width.value,
        });
        let pair = |pair: Governing| PressurePairView {
            pressing: pressures.word(pair.pressing.what),
            pressing_gauge_pa: pair.pressing.pressure.get().value,
            bearing: pressures.word(pair.bearing.what),
            bearing_gauge_pa: pair.bearing.pressure.get().value,
            margin_pa: pair.margin.value,
            verdict: wording::verdict(pair.verdict),
        };
        StrengthView {
            tube: self.rating.as_ref().ok().map(|rating| rating.view(product)),
            tube_unrated: self.rating.as_ref().err().cloned(),
            design_temperature_c: pressures.design.temperature.get::<degree_celsius>(),
            design_temperature_source: pressures.design.words(),
            standstill_gauge_pa: pressures.standstill.as_ref().ok().map(|bound| bound.pressure.get().value),
            standstill_unknown: pressures.standstill.as_ref().err().cloned(),
            bounds: bounds.collect(),
            governing: governing(&pressures.bounds).map(pair),
            trapped: (self.service == Service::Liquid)
                .then(|| liquid::trapped(self, set, line, product, library)),
            surge: self.surge.as_ref().ok().and_then(Option::as_ref).map(SurgeFound::view),
            expansion: movement::expansion(set, line, product, library),
            supports: movement::supports(set, product, library),
            first_support_m: library.strength().copper().support_near_unit.value.value,
            bend: movement::bend(line, product, library),
            pulsation: pulsation::pulsation(set, line, library),
        }
    }

    /// Notes what the rating of the tube taken stands on.
    pub(super) fn note_rating(&self, ledger: &mut Ledger) {
        if let Ok(rating) = &self.rating {
            let what =
                format!("allowable stress of {} copper, {} basis", temper(rating.temper), rating.basis);
            ledger.note(what, &rating.stress.source);
            ledger.note("tolerances of wall and outside diameter", &rating.tolerance.source);
            ledger.note_words("working pressure", rating.method.source(), "published");
        }
    }

    /// Notes what the strength of the tube taken stands on.
    pub(super) fn note(
        &self,
        ledger: &mut Ledger,
        set: &ResolvedSet<'_>,
        product: &TubeProduct,
        library: &Library,
    ) {
        self.note_rating(ledger);
        if matches!(self.surge, Ok(Some(_))) {
            ledger.note_words("surge of a fast valve", Method::Joukowsky.source(), "memory");
        }
        if self.service == Service::Liquid {
            ledger.note_words("shut-in liquid", Method::LockedLiquid.source(), "derived");
        }
        let copper = library.strength().copper();
        if matches!(self.service, Service::Discharge | Service::Suction) {
            ledger.note("expansion of copper", &copper.expansion.source);
            ledger.note("allowable stress of expansion loops", &copper.loop_stress.source);
        }
        ledger.note("modulus of elasticity of copper", &copper.modulus.source);
        for (_, spacing) in movement::spacings(set, product, library) {
            ledger.note("spacing of supports", &spacing.1.source);
        }
        ledger.note("first support at a unit", &copper.support_near_unit.source);
        if product.form == Form::Coil {
            ledger.note("bends by hand", &copper.hand_bend_radius.source);
            let with_bender = library.strength().bend_radius(product.tube.outside(), Temper::Annealed);
            with_bender.inspect(|radius| ledger.note("bends with a bender", &radius.source));
        }
        if self.service == Service::Discharge && set.set.compressor_speed.is_some() {
            ledger.note("band around resonant lengths", &copper.pulsation_band.source);
        }
    }

    /// The lowest rating of tube and parts, by which shut-in liquid is judged.
    fn lowest_rating(&self) -> Option<(String, GaugePressure)> {
        let lowest = self.pressures.lowest(|what| matches!(what, What::Tube | What::Part(_)))?;
        Some((self.pressures.word(lowest.what), lowest.pressure))
    }
}

/// A figure of a plate or a standard: without a band.
fn exact(what: What, pressure: GaugePressure) -> Bound {
    Bound { what, pressure, half_width: Pressure::new::<pascal>(0.0) }
}

/// The pair that governs, judged; not checked where it meets and a pressure that may govern in its place is unknown.
fn check(kind: CheckKind, pair: Option<Governing>, limit: GaugePressure, unknown: bool) -> Check {
    let Some(pair) = pair else { return not_checked(kind, Some(limit), Why::PressureUnknown) };
    let whose = match pair.bearing.what {
        What::Tube => Whose::Physics,
        What::Relief => Whose::Job,
        _ => Whose::Maker,
    };
    let mut check = pressure_check(kind, &pair, whose);
    if unknown && check.verdict == Verdict::Meets {
        check.verdict = Verdict::NotChecked(Why::PressureUnknown);
    }
    check
}

fn not_checked(kind: CheckKind, limit: Option<GaugePressure>, why: Why) -> Check {
    let unknown = || GaugePressure::new(Pressure::new::<pascal>(f64::NAN));
    Check {
        kind,
        value: None,
        limit: Limit {
            value: Measure::GaugePressure(limit.unwrap_or_else(unknown)),
            sense: Sense::AtMost,
            whose: Whose::Physics,
        },
        condition: None,
        band: None,
        verdict: Verdict::NotChecked(why),
        trouble: None,
        leading: None,
    }
}

/// As a gauge on the site shows it.
fn gauge(reading: PressureReading, atmosphere: Option<AbsolutePressure>) -> Option<GaugePressure> {
    match reading {
        PressureReading::Gauge(pressure) => Some(pressure),
        PressureReading::Absolute(pressure) => Some(pressure.gauge(atmosphere?)),
    }
}

/// The operating points that could be formed.
fn points<'a>(set: &'a ResolvedSet<'_>) -> impl Iterator<Item = &'a OperatingPoint> {
    set.points.iter().filter_map(|(_, point)| point.as_ref())
}

/// The hottest that a line gets: its design temperature, or the gas in it.
fn hottest(
    set: &ResolvedSet<'_>,
    service: Service,
    design: ThermodynamicTemperature,
) -> ThermodynamicTemperature {
    let warmer = |a: ThermodynamicTemperature, b| if b > a { b } else { a };
    match service {
        Service::Discharge => points(set).map(|point| point.discharge.temperature).fold(design, warmer),
        _ => design,
    }
}

/// Bubble pressure at the design temperature, above the atmosphere.
fn standstill(
    set: &ResolvedSet<'_>,
    service: Service,
    design: ThermodynamicTemperature,
    library: &Library,
) -> Result<Bound, String> {
    let atmosphere =
        set.strength.atmosphere.ok_or("the atmosphere of the site (key site.altitude)".to_owned())?;
    let state = set.fluid.at_bubble(BubbleTemperature::new(design)).map_err(|refusal| {
        let in_both = |temperature: ThermodynamicTemperature| {
            figure::temperature(temperature.get::<degree_celsius>()).both(Units::Us)
        };
        let critical = library.refrigerants().find(&set.refrigerant).map(|known| known.critical_temperature.value);
        let why = match critical {
            Ok(critical) if design >= critical => format!(
                "{} is not below the critical temperature, {}: no bubble pressure belongs to it",
                in_both(design),
                in_both(critical)
            ),
            _ => wording::outside(refusal),
        };
        format!(
            "a pressure at standstill, and {why} (key strength.relief states the pressure that nothing passes, \
             strength.design_temperature another temperature)"
        )
    })?;
    let pressure = state.pressure.gauge(atmosphere);
    let least = set.strength.low_side_least;
    if service == Service::Suction && pressure.get() < least.get() {
        let half_width = Pressure::new::<pascal>(0.0);
        return Ok(Bound { what: What::BubblePressure, pressure: least, half_width });
    }
    // One band covers density and pressure of the property data.
    let half_width = state.pressure.get() * set.density_band;
    Ok(Bound { what: What::BubblePressure, pressure, half_width })
}

/// Rates a tube: least wall, greatest outside diameter, the temper that its joints leave, stress at its temperature.
fn rate(
    product: &TubeProduct,
    joint: Joint,
    temperature: ThermodynamicTemperature,
    library: &Library,
) -> Result<Rating, String> {
    let tables = library.strength();
    let basis = match product.unit {
        DimensionUnit::Inch => StressBasis::American,
        DimensionUnit::Millimetre => StressBasis::European,
    };
    // Of a tube that is made in several tempers the softer counts.
    let delivered = match (product.temper, basis) {
        (Delivered::Drawn, StressBasis::American) => Temper::Drawn,
        (Delivered::Drawn, _) => Temper::HalfHard,
        (Delivered::Annealed | Delivered::AnnealedOrDrawn, _) => Temper::Annealed,
    };
    let wanted = delivered.joined_by(joint);
    // Stress never grows with temperature: a colder line is rated at the lowest temperature of the table.
    let stress_of = |temper| {
        let curve = tables.allowable_stress(basis, temper)?;
        let (low, _) = curve.value.range();
        let temperature = if temperature < low { low } else { temperature };
        let stress = curve.value.at(temperature).ok()?;
        Some((temper, temperature, curve.clone().map(|_| stress)))
    };
    let found = stress_of(wanted).or_else(|| stress_of(Temper::Annealed));
    let Some((temper_found, temperature, stress)) = found else {
        return Err(format!(
            "an allowable stress of {} copper at {} ({basis} basis)",
            temper(wanted),
            figure::temperature(temperature.get::<degree_celsius>()).both(Units::Us)
        ));
    };
    let mut assumed = Vec::new();
    if temper_found != wanted {
        let (hard, soft) = (temper(wanted), temper(temper_found));
        assumed.push(format!("no stress of {hard} tube is known so hot: rated as {soft}"));
    }
    let tolerance = match tables.tolerance(product, temper_found) {
        Some(tolerance) => tolerance,
        None => {
            let like = nearest(product, library).ok_or("tolerances of the tube")?;
            assumed.push(format!("tolerances as of {}", like.printed_name()));
            tables.tolerance(like, temper_found).ok_or("tolerances of the tube")?
        }
    };
    let working = working_pressure(basis.formula(), &product.tube, tolerance.value, stress.value)
        .map_err(|error| format!("a wall that its tolerance leaves ({error})"))?;
    let assumed = (!assumed.is_empty()).then(|| assumed.join("; "));
    Ok(Rating {
        basis,
        temper: temper_found,
        temperature,
        stress,
        tolerance,
        working: working.value,
        method: working.method,
        assumed,
    })
}

/// The product of the tables whose outside diameter, then whose wall, is nearest to that of a tube of the job's own.
fn nearest<'a>(product: &TubeProduct, library: &'a Library) -> Option<&'a TubeProduct> {
    let away = |other: &TubeProduct| {
        let outside = (other.tube.outside().get() - product.tube.outside().get()).get::<millimeter>().abs();
        let wall = (other.tube.wall() - product.tube.wall()).get::<millimeter>().abs();
        (outside, wall)
    };
    library.tubes().products().iter().min_by(|a, b| {
        let (a, b) = (away(a), away(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

fn temper(temper: Temper) -> &'static str {
    match temper {
        Temper::Annealed => "annealed",
        Temper::HalfHard => "half-hard",
        Temper::Drawn => "drawn",
    }
}

impl Rating {
    fn source(&self) -> String {
        format!("stress: {}; tolerances: {}", words(&self.stress.source), words(&self.tolerance.source))
    }

    fn view(&self, product: &TubeProduct) -> TubeRatingView {
        let tolerance = self.tolerance.value;
        TubeRatingView {
            working_gauge_pa: self.working.get().value,
            basis: match self.basis {
                StressBasis::American => "american",
                _ => "european",
            }
            .to_owned(),
            temper: temper(self.temper).to_owned(),
            temperature_c: self.temperature.get::<degree_celsius>(),
            allowable_stress_pa: self.stress.value.value,
            least_wall_mm: (product.tube.wall() - tolerance.wall).get::<millimeter>(),
            greatest_od_mm: (product.tube.outside().get() + tolerance.outside).get::<millimeter>(),
            source: self.source(),
            assumed: self.assumed.clone(),
        }
    }
}

/// Judges the strength of every candidate of a line, and adds its checks to those of the march.
pub(super) fn join(
    set: &ResolvedSet<'_>,
    line: &ResolvedLine<'_>,
    candidates: &[TubeProduct],
    judged: &mut [Judged],
    library: &Library,
) -> Vec<LineStrength> {
    let candidates = candidates.iter().zip(judged);
    let join = |(product, judged): (&TubeProduct, &mut Judged)| {
        let strength = LineStrength::new(set, line, product, judged, library);
        strength.checks().into_iter().for_each(|check| judged.add(check));
        strength
    };
    candidates.map(join).collect()
}

#[cfg(test)]
mod tests {
    use crate::{
        job,
        study::{resolve, size},
        view::{LineView, SizeView, StrengthView, VerdictView},
    };
    use tables::Library;

    const HARBOUR: &str = include_str!("../../../../data/jobs/harbour-fish-counter.toml");

    /// The size study of the harbour job with whole entries of it replaced, each named by the start of its line.
    fn sized(changes: &[(&str, &str)]) -> SizeView {
        let mut text = HARBOUR.to_owned();
        for (start, new) in changes {
            let old = HARBOUR.lines().find(|line| line.starts_with(start)).unwrap();
            text = text.replacen(old, new, 1);
        }
        let job = job::read("job.toml", text.as_bytes()).unwrap();
        let library = Library::embedded().unwrap();
        let resolved = resolve(&job, &library).unwrap();
        size(&resolved)
    }

    fn line<'a>(view: &'a SizeView, service: &str) -> &'a LineView {
        view.sets[0].lines.iter().find(|line| line.service == service).unwrap()
    }

    fn strength<'a>(view: &'a SizeView, service: &str) -> &'a StrengthView {
        line(view, service).strength.as_ref().unwrap()
    }

    fn verdict(line: &LineView, kind: &str) -> VerdictView {
        line.checks.iter().find(|check| check.kind == kind).unwrap().verdict
    }

    const NO_GUARDS: [(&str, &str); 3] = [("relief =", ""), ("cut_out =", ""), ("ratings =", "")];

    /// A 1/2 in coil bears 593 psig at 201 °F, type K of 5/8 in more than 700.
    #[test]
    fn a_tube_too_weak_is_refused_and_the_next_stronger_is_taken() {
        let stock = "tubes = [\"ASTM B280 coil\", \"ASTM B88 Type K\"]";
        let leave_out = "leave_out = [\"1/2 in OD wall 0.049 in\"]";
        let base = [("tubes =", stock), ("leave_out =", leave_out), ("ratings =", ""), ("cut_out =", "")];
        let with_relief = |relief| {
            sized(&[&base[..], &[("relief =", relief), ("longest_run", "longest_run = \"150 ft\"")]].concat())
        };
        let low = with_relief("relief = \"40 bar(g)\"");
        assert_eq!(line(&low, "discharge").tube.as_ref().unwrap().name, "1/2 in OD");
        let high = with_relief("relief = \"42 bar(g)\"");
        let discharge = line(&high, "discharge");
        let tube = discharge.tube.as_ref().unwrap();
        assert!(
            (tube.od_mm - 15.875).abs() < 1e-6 && tube.product.starts_with("ASTM B88 Type K"),
            "{tube:?}"
        );
        assert_eq!(verdict(discharge, "working-pressure"), VerdictView::Meets);
        let weak = discharge.candidates.iter().find(|tube| tube.tube.name == "1/2 in OD").unwrap();
        assert_eq!(weak.refused_for, ["working pressure is over its limit"]);
        assert_eq!((weak.allowable_length_m, weak.stopped_by.as_deref()), (None, Some("working-pressure")));
    }

    #[test]
    fn a_stated_tube_too_weak_fails_the_set() {
        let view = sized(&[
            ("tube = \"choose\"                   # or", "tube = \"3/4 in OD wall 0.035 in\""),
            ("relief =", "relief = \"32 bar(g)\""),
            ("ratings =", ""),
        ]);
        assert_eq!(verdict(line(&view, "discharge"), "working-pressure"), VerdictView::Fails);
        assert_eq!(view.verdict, VerdictView::Fails);
    }

    #[test]
    fn a_relief_above_a_rating_fails_the_set_and_refuses_no_tube() {
        let view = sized(&[("ratings =", "ratings = { head = \"31 bar(g)\", receiver = \"30 bar(g)\" }")]);
        let check = view.sets[0].checks.iter().find(|check| check.kind == "rated-pressure").unwrap();
        assert_eq!((check.verdict, view.verdict), (VerdictView::Fails, VerdictView::Fails));
        assert_eq!(check.remarks, ["the relief against the rating of the receiver (gauge pressures)"]);
        assert!(view.sets[0].lines.iter().all(|line| line.tube.is_some()));
        let governing = strength(&view, "liquid").governing.as_ref().unwrap();
        assert_eq!((governing.pressing.as_str(), governing.bearing.as_str()), ("relief", "receiver"));
        assert!((governing.margin_pa + 1e5).abs() < 1e-6);
    }

    #[test]
    fn a_part_rated_below_standstill_fails_its_line() {
        let parts = "parts = [\"1 filter drier rated 24 bar(g)\"]";
        let view = sized(&[("parts =", parts)]);
        assert_eq!(verdict(line(&view, "liquid"), "rated-pressure"), VerdictView::Fails);
        assert!(line(&view, "discharge").checks.iter().all(|check| check.kind != "rated-pressure"));
        assert!(line(&view, "liquid").tube.is_some(), "no other tube would help");
    }

    #[test]
    fn standstill_beyond_the_data_is_not_checked_unless_a_relief_bounds_it() {
        let hot = ("design_temperature =", "design_temperature = \"85 °C\"");
        let view = sized(&[&NO_GUARDS[..], &[hot]].concat());
        let discharge = line(&view, "discharge");
        let check = discharge.checks.iter().find(|check| check.kind == "working-pressure").unwrap();
        assert_eq!((check.verdict, view.verdict), (VerdictView::NotChecked, VerdictView::NotChecked));
        assert!(
            check.missing.as_ref().unwrap().contains("not below the critical temperature"),
            "{:?}",
            check.missing
        );
        assert!(discharge.tube.is_some(), "it is the same for every tube");
        let relieved = sized(&[hot, ("cut_out =", ""), ("ratings =", "")]);
        assert_eq!(verdict(line(&relieved, "discharge"), "working-pressure"), VerdictView::Meets);
        assert!(strength(&relieved, "discharge").standstill_unknown.is_some());
    }

    #[test]
    fn the_design_temperature_is_the_stated_one_or_the_usual_with_its_grade() {
        let stated = sized(&[]);
        assert!((strength(&stated, "liquid").design_temperature_c - 55.0).abs() < 1e-9);
        assert_eq!(strength(&stated, "liquid").design_temperature_source, "the job file");
        let default = sized(&[("design_temperature =", "")]);
        // 95 °F and 30 °F more.
        let liquid = strength(&default, "liquid");
        assert!((liquid.design_temperature_c - (125.0 - 32.0) / 1.8).abs() < 1e-9);
        assert!(liquid.design_temperature_source.contains("(memory)"));
        assert!(default.sets[0].assumptions.iter().any(|text| text.contains("strength.design_temperature")));
        let cool = sized(&[("design_temperature =", ""), ("design_air =", "design_air = \"80 °F\"")]);
        assert!((strength(&cool, "liquid").design_temperature_c - 50.0).abs() < 1e-9, "122 °F at least");
    }

    /// `2 F t / (D - t)` with F = 46 N/mm2, the lowest temperature of the table, and the wall less 10 %.
    #[test]
    fn metric_tube_is_rated_on_the_european_basis() {
        let view = sized(&[("tubes =", "tubes = [\"EN 12735-1\"]"), ("leave_out =", "")]);
        let (tube, rated) = (line(&view, "liquid").tube.as_ref().unwrap(), strength(&view, "liquid"));
        let rated = rated.tube.as_ref().unwrap();
        let wall_mm = 0.9 * (tube.od_mm - tube.bore_mm) / 2.0;
        let by_hand_pa = 2.0 * 46e6 * wall_mm / (tube.od_mm + 0.04 - wall_mm);
        approx::assert_relative_eq!(rated.working_gauge_pa, by_hand_pa, max_relative = 1e-9);
        assert_eq!((rated.basis.as_str(), rated.temper.as_str()), ("european", "annealed"));
        assert!((rated.temperature_c - 65.0).abs() < 1e-9);
    }

    /// Allowable stresses of the Copper Tube Handbook: drawn 10 300 psi at 200 and at 250 °F, annealed 4900 and 4800 psi; the
    /// gas lies between. The tolerances of the outside diameter differ by 0.0015 in of 0.6 in.
    #[test]
    fn brazing_softens_a_drawn_tube_and_a_mechanical_joint_does_not() {
        let rated = |joints: &str| {
            let view = sized(&[
                ("tubes =", "tubes = [\"ASTM B280 straight\"]"),
                ("leave_out =", ""),
                ("tube = \"choose\"                   # or", "tube = \"5/8 in OD straight\""),
                ("joints =", joints),
            ]);
            let tube = strength(&view, "discharge").tube.clone().unwrap();
            (tube.temper, tube.working_gauge_pa, 32.0 + 1.8 * tube.temperature_c)
        };
        let (brazed, mechanical) = (rated("joints = \"brazed\""), rated("joints = \"mechanical\""));
        let gas_f = brazed.2;
        assert!((200.0..250.0).contains(&gas_f), "{gas_f}");
        let annealed_psi = 4900.0 - (gas_f - 200.0) / 50.0 * 100.0;
        assert_eq!((brazed.0.as_str(), mechanical.0.as_str()), ("annealed", "drawn"));
        assert_eq!(brazed, rated(""), "brazed unless said");
        approx::assert_relative_eq!(mechanical.1 / brazed.1, 10_300.0 / annealed_psi, max_relative = 4e-3);
    }

    #[test]
    fn an_own_tube_takes_the_tolerances_of_the_nearest_and_says_so() {
        let view =
            sized(&[("tube = \"choose\"                   # or", "tube = \"1/2 in OD wall 0.06 in coil\"")]);
        let rated = strength(&view, "discharge").tube.clone().unwrap();
        assert!(rated.assumed.unwrap().starts_with("tolerances as of 1/2 in OD"));
    }

    #[test]
    fn every_neighbouring_pair_of_closing_parts_is_named() {
        let pairs = |parts: &str| {
            let view = sized(&[("parts =", parts)]);
            let trapped = strength(&view, "liquid").trapped.clone().unwrap();
            let pairs = trapped.sections.iter().map(|section| {
                format!(
                    "{} - {}{}",
                    section.from,
                    section.to,
                    if section.relieved { " relieved" } else { "" }
                )
            });
            (pairs.collect::<Vec<_>>(), trapped.rise)
        };
        let (named, rise) =
            pairs("parts = [\"2 ball valve\", \"1 filter drier\", \"1 relief valve\", \"1 check valve\"]");
        assert_eq!(
            named,
            [
                "ball valve 1 - ball valve 2",
                "ball valve 2 - check valve relieved",
                "check valve - head-pressure valve"
            ]
        );
        let rise = rise.unwrap();
        // The coldest liquid is that of low head; the lowest rating is 31 bar. A liquid full of R-449A rises by some bar a kelvin.
        assert!((rise.start_c - 18.3).abs() < 0.1, "{rise:?}");
        assert_eq!((rise.limit_of.as_deref(), rise.limit_gauge_pa), (Some("head"), Some(31e5)));
        let straight_k = (31e5 - rise.start_gauge_pa) / rise.rise_pa_per_k;
        assert!((rise.warming_k.unwrap() / straight_k - 1.0).abs() < 0.1, "{rise:?}");
        assert_eq!(pairs("parts = []").0, [""; 0], "the flooding valve alone");
    }

    #[test]
    fn a_line_without_closing_parts_says_so() {
        let head =
            ("head_pressure =", "head_pressure = { method = \"fan speed\", setting = \"70 °F bubble\" }");
        // With the receiver at the head and no flooding valve, the pipe may run full or drain freely: the job must say which.
        let receiver = ("receiver_at =", "receiver_at = \"head\"\nconfirm = [\"service\"]");
        let view = sized(&[("parts =", "parts = [\"1 filter drier\"]"), head, receiver]);
        let trapped = strength(&view, "liquid").trapped.as_ref().unwrap();
        assert!(trapped.closing_parts.is_empty() && trapped.sections.is_empty() && trapped.rise.is_none());
        assert!(strength(&view, "discharge").trapped.is_none());
    }

    #[test]
    fn a_fast_valve_adds_its_surge_and_a_slow_one_less() {
        let surge = |parts: &str| strength(&sized(&[("parts =", parts)]), "liquid").surge.clone();
        assert!(surge("parts = [\"2 ball valve\"]").is_none());
        let at_once = surge("parts = [\"1 solenoid valve\"]").unwrap();
        // Joukowsky: liquid of some 1050 kg/m3.
        let density_kg_m3 = at_once.rise_pa / at_once.wave_speed_m_s / at_once.velocity_m_s;
        assert!(at_once.fast && (950.0..1150.0).contains(&density_kg_m3), "{at_once:?}");
        let slow = surge("parts = [\"1 solenoid valve closes in 2 s\"]").unwrap();
        assert!(!slow.fast);
        approx::assert_relative_eq!(
            slow.rise_pa,
            at_once.rise_pa * slow.return_time_s / 2.0,
            max_relative = 1e-9
        );
        let view =
            sized(&[("parts =", "parts = [\"1 solenoid valve\"]"), ("relief =", ""), ("cut_out =", "")]);
        assert!(strength(&view, "liquid").bounds.iter().any(|bound| bound.name == "surge" && bound.presses));
    }

    #[test]
    fn a_leg_whose_turns_are_too_short_is_named_with_its_offset() {
        let legs = |legs: &str| {
            let view = sized(&[("legs =", legs)]);
            strength(&view, "discharge").expansion.clone().unwrap().legs
        };
        let short = legs(
            "legs = [\"up 2 ft\", \"north 70 ft in attic\", \"north 6 ft on roof\", \"west 1 ft on roof\"]",
        );
        assert_eq!(
            short.iter().map(|leg| leg.direction.as_str()).collect::<Vec<_>>(),
            ["up", "north", "west"]
        );
        assert_eq!(short.iter().map(|leg| leg.taken_up).collect::<Vec<_>>(), [true, false, true]);
        // 92.2 sqrt(D e) (Copper Tube Handbook, E = 17e6, P = 6000 psi) of 12.7 mm and this growth.
        let by_hand_m = (3.0 * 17e6 / 6e3 * 12.7e-3 * short[1].growth_m).sqrt();
        approx::assert_relative_eq!(short[1].offset_m, by_hand_m, max_relative = 1e-6);
        assert!(short[1].offset_m > short[1].beside_m.unwrap());
    }

    #[test]
    fn pulses_need_speed_and_cylinders_and_remark_on_the_anchor() {
        let pulses = |changes: &[(&str, &str)]| strength(&sized(changes), "discharge").pulsation.clone();
        assert!(pulses(&[("cylinders =", "")]).is_none());
        let found = pulses(&[]).unwrap();
        approx::assert_relative_eq!(found.frequency_hz, 1750.0 / 60.0 * 2.0, max_relative = 1e-9);
        assert_eq!((found.resonant_m.len(), found.resonates_at_m), (3, None));
        let anchor = format!("first_anchor = \"{:.3} m\"", found.quarter_wave_m);
        let found = pulses(&[("first_anchor =", &anchor)]).unwrap();
        approx::assert_relative_eq!(found.resonates_at_m.unwrap(), found.quarter_wave_m, max_relative = 1e-9);
        assert_eq!(pulses(&[("first_anchor =", "")]).unwrap().first_anchor_m, None);
    }
}
