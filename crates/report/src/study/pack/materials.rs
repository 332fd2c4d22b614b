//! The material list: counted from the route, the parts of the job and what the sheets took.

use super::SetDesk;
use crate::{
    figure::{self, Figure, Units},
    job::{Direction, Joints, Leg, Part, PartKind, ReceiverAt, field::HoldingGas},
    study::{
        elements::{count_turns, has_foot_trap, has_loop, turn_key},
        field::gauge_pa,
        ledger::Ledger,
    },
    view::{LineView, MaterialItemView, MaterialsView, SetPackView, TubeView},
};
use physics::units::{
    AbsolutePressure,
    unit::{
        length::meter, pressure::pascal, ratio::ratio, time::second, volume::cubic_meter,
        volume_rate::cubic_meter_per_second,
    },
};
use tables::{Source, tubes::TubeProduct};

const TUBE: &str = "tube";
const FITTINGS: &str = "fittings";
const PARTS: &str = "parts";
const INSULATION: &str = "insulation";
const SUPPORTS: &str = "supports";
const BUILDING: &str = "building";
const TEST: &str = "brazing and test";
const REFRIGERANT: &str = "refrigerant";

/// Place of a group in the order of the work.
fn in_order(group: &str) -> Option<usize> {
    [TUBE, FITTINGS, PARTS, INSULATION, SUPPORTS, BUILDING, TEST, REFRIGERANT]
        .iter()
        .position(|known| *known == group)
}

/// What counts as nothing beside a whole piece: rounding of feet into metre.
const NOTHING: f64 = 1e-9;
/// Pressure that volumes of gas are told at.
const STANDARD_PA: f64 = 101_325.0;

/// Pieces of `each` that `length` takes.
fn pieces(length: f64, each: f64) -> f64 {
    (length / each - NOTHING).ceil().max(0.0)
}

/// Joints between lengths of `each` in a straight piece of `length`.
fn joints_between(length: f64, each: f64) -> f64 {
    (pieces(length, each) - 1.0).max(0.0)
}

/// Words of a quantity in the unit of its item.
fn words(quantity: f64, unit: &str, what: &str) -> Figure {
    match unit {
        "1" => {
            // Pieces of which several sets may share one.
            let whole = (quantity - quantity.round()).abs() < NOTHING;
            let text = if whole { format!("{quantity:.0}") } else { format!("{quantity:.2}") };
            Figure { us: text.clone(), si: text }
        }
        "kg" => figure::pounds_and_ounces(quantity),
        "m3" if what == PUMP_OIL => figure::oil_volume(quantity),
        "m3" => figure::gas_volume(quantity),
        _ => figure::length(quantity),
    }
}

const PUMP_OIL: &str = "vacuum pump oil";

/// An item in the making.
struct Item<'a> {
    group: &'static str,
    line: &'a str,
    what: String,
    size: String,
    counted: Option<f64>,
    waste: f64,
    unit: &'static str,
    how: String,
    missing: Option<String>,
    source: Option<&'a Source>,
}

impl<'a> Item<'a> {
    fn new(group: &'static str, what: impl Into<String>, unit: &'static str, how: impl Into<String>) -> Self {
        Self {
            group,
            line: "",
            what: what.into(),
            size: String::new(),
            counted: None,
            waste: 0.0,
            unit,
            how: how.into(),
            missing: None,
            source: None,
        }
    }

    fn of(self, line: &'a str, size: impl Into<String>) -> Self {
        Self { line, size: size.into(), ..self }
    }

    fn count(self, counted: f64) -> Self {
        Self { counted: Some(counted), ..self }
    }

    fn waste(self, waste: f64) -> Self {
        Self { waste, ..self }
    }

    fn by(self, source: &'a Source) -> Self {
        Self { source: Some(source), ..self }
    }

    fn missing(self, missing: impl Into<String>) -> Self {
        Self { missing: Some(missing.into()), ..self }
    }

    fn view(self, units: Units) -> MaterialItemView {
        let quantity = self.counted.map(|counted| counted * (1.0 + self.waste));
        // Pieces are bought whole.
        let quantity =
            quantity.map(|quantity| if self.unit == "1" { pieces(quantity, 1.0) } else { quantity });
        let said = |value: Option<f64>| value.map(|value| words(value, self.unit, &self.what).both(units));
        MaterialItemView {
            group: self.group,
            line: self.line.to_owned(),
            counted: self.counted,
            waste: self.waste,
            quantity,
            unit: self.unit,
            counted_words: said(self.counted).unwrap_or_default(),
            quantity_words: said(quantity).unwrap_or_else(|| "not known".to_owned()),
            what: self.what,
            size: self.size,
            how: self.how,
            missing: self.missing,
            source: self.source.map(|source| source.text.to_string()).unwrap_or_default(),
            grade: self.source.map_or_else(|| "derived".to_owned(), |source| source.grade.to_string()),
        }
    }
}

/// What the lines ask of the set as a whole.
#[derive(Default)]
struct Sum {
    joints: f64,
    rod_m: f64,
    /// A line whose filler is not known.
    rod_missing: Option<String>,
    volume_m3: f64,
    /// Lines whose tube is not known.
    untaken: Vec<String>,
    assumptions: Vec<String>,
}

impl SetDesk<'_> {
    pub(super) fn materials(&self, ledger: &mut Ledger) -> MaterialsView {
        let mut items: Vec<MaterialItemView> = Vec::new();
        let mut sum = Sum::default();
        for line in &self.size.lines {
            self.of_line(line, &mut sum, &mut items);
        }
        self.of_building(&mut items);
        self.of_work(&mut sum, &mut items);
        self.of_refrigerant(&mut items);
        items.sort_by_key(|item| in_order(item.group));
        for item in items.iter().filter(|item| !item.source.is_empty()) {
            ledger.note_words(format!("count of {}", item.what), &item.source, &item.grade);
        }
        self.assume(&mut sum);
        let not_contained = [
            "service valves of head and condenser, unless the parts of a line name them: they come with the equipment",
            "flux and filler for joints of copper to brass or steel, adhesive and tape of insulation, screws and anchors",
            "tools: torch, regulator, pump, gauges, scale, recovery machine and its cylinder",
            "condenser, stand and rails; branches to several condensers of one set",
        ];
        MaterialsView {
            items,
            assumptions: sum.assumptions,
            not_contained: not_contained.map(str::to_owned).to_vec(),
        }
    }

    fn push(&self, items: &mut Vec<MaterialItemView>, item: Item<'_>) {
        items.push(item.view(self.units()));
    }

    fn length(&self, length_m: f64) -> String {
        figure::length(length_m).both(self.units())
    }

    fn of_line(&self, view: &LineView, sum: &mut Sum, items: &mut Vec<MaterialItemView>) {
        let (service, set) = (&*view.service, self.set.set);
        let Some((line, product)) = self.line(view) else { return };
        for part in &line.text.parts {
            let size = view.tube.as_ref().map_or_else(|| "line size".to_owned(), |tube| tube.name.clone());
            let what = part_words(&part.value, self.air_pressure(), self.units());
            let item = Item::new(PARTS, what, "1", "parts of the line in the job").of(service, size);
            self.push(items, item.count(f64::from(part.value.count)));
        }
        let (Some(product), Some(tube)) = (product, &view.tube) else {
            sum.untaken.push(service.to_owned());
            let item = Item::new(TUBE, "tube", "m", "legs of the route").of(service, "no tube taken");
            let missing = "a tube that meets the checks (`lineset size` says what is in the way)";
            self.push(items, item.missing(missing));
            return;
        };
        let habits = self.habits();
        let loops = f64::from(u8::from(has_loop(set, line.service)));
        let foot_trap = f64::from(u8::from(has_foot_trap(set, line.service)));
        let asked =
            view.oil_return.as_ref().and_then(|oil| oil.traps.as_ref()).map_or(0, |traps| traps.count);
        let traps = foot_trap + asked as f64;
        let extra_m = loops * metres(habits.tube_in_loop.value) + traps * metres(habits.tube_in_trap.value);
        let cut_m = view.run_m + extra_m;
        self.tube(view, tube, product, (cut_m, loops, traps), items);
        let inline = self.fittings(view, tube, product, (cut_m, loops, traps), items);
        self.insulation(view, tube, cut_m, items);
        self.supports(view, tube, items);
        for name in ["line tag, one at each end", "cap for an open end"] {
            let how = "two ends of each line";
            self.push(items, Item::new(TEST, name, "1", how).of(service, tube.name.clone()).count(2.0));
        }
        let of_parts: f64 = line.text.parts.iter().map(|part| part_joints(&part.value)).sum();
        let of_reducers: f64 = view.reducers.iter().map(|reducer| f64::from(reducer.count)).sum();
        // A reducer has one joint more than the end that it stands in.
        let joints = 2.0 * inline + of_parts + of_reducers + 2.0;
        sum.volume_m3 += std::f64::consts::FRAC_PI_4 * (1e-3 * tube.bore_mm).powi(2) * cut_m;
        if line.text.joints.map(|joints| joints.value) == Some(Joints::Mechanical) {
            let how = "two at each fitting and part, one at each end, one more at a reducer";
            let item = Item::new(FITTINGS, "mechanical joint", "1", how).of(service, tube.name.clone());
            self.push(items, item.count(joints));
            return;
        }
        sum.joints += joints;
        match self.library().supplies().filler(product.tube.outside()) {
            Some(rod) => sum.rod_m += joints * metres(rod.value),
            None => {
                sum.rod_missing = Some(format!("filler of a joint of {} (materials/filler.csv)", tube.name))
            }
        }
    }

    fn tube(
        &self,
        view: &LineView,
        tube: &TubeView,
        product: &TubeProduct,
        (cut_m, loops, traps): (f64, f64, f64),
        items: &mut Vec<MaterialItemView>,
    ) {
        let (service, habits) = (&*view.service, self.habits());
        let mut how = format!("legs {}", self.length(view.run_m));
        if loops > 0.0 {
            how.push_str(&format!(", inverted loop {}", self.length(metres(habits.tube_in_loop.value))));
        }
        if traps > 0.0 {
            how.push_str(&format!(", {traps:.0} x trap {}", self.length(metres(habits.tube_in_trap.value))));
        }
        let waste = habits.waste_tube.value.get::<ratio>();
        let what = format!("tube, {}", tube.product);
        let item = Item::new(TUBE, what, "m", how).of(service, tube.name.clone());
        self.push(items, item.count(cut_m).waste(waste).by(&habits.waste_tube.source));
        let order_m = cut_m * (1.0 + waste);
        let (what, sold_in) = match is_coil(product) {
            true => ("roll", "rolls"),
            false => ("length", "straight lengths"),
        };
        match self.library().supplies().stock_length(&product.standard, product.form) {
            Some(each) => {
                let each_m = metres(each.value);
                let how = format!("order length of {} in {sold_in}", self.length(order_m));
                let item = Item::new(TUBE, format!("{what} of {}", self.length(each_m)), "1", how);
                let item = item.of(service, tube.name.clone()).count(pieces(order_m, each_m));
                self.push(items, item.by(&each.source));
            }
            None => {
                let missing =
                    format!("the length that {} is sold in (materials/stock_lengths.csv)", tube.product);
                let item = Item::new(TUBE, sold_in, "1", "order length in whole pieces");
                self.push(items, item.of(service, tube.name.clone()).missing(missing));
            }
        }
    }

    /// Turns, couplings and reducers; how many of them stand in the line with two joints each.
    fn fittings(
        &self,
        view: &LineView,
        tube: &TubeView,
        product: &TubeProduct,
        (cut_m, loops, traps): (f64, f64, f64),
        items: &mut Vec<MaterialItemView>,
    ) -> f64 {
        let (service, set) = (&*view.service, self.set.set);
        let Some((line, _)) = self.line(view) else { return 0.0 };
        let turns = f64::from(count_turns(set));
        let stock = self.library().supplies().stock_length(&product.standard, product.form);
        let mut add = |what: &str, how: &str, count: f64, source: Option<&Source>| {
            if count > 0.0 {
                let item = Item::new(FITTINGS, what, "1", how).of(service, tube.name.clone()).count(count);
                let item = Item { source, ..item };
                items.push(item.view(self.units()));
            }
        };
        let (mut inline, couplings);
        let elbow = match turn_key(line.text, product) {
            "elbow-90-long" => Some("long-radius elbow, 90°"),
            "elbow-90-short" => Some("short-radius elbow, 90°"),
            _ => None,
        };
        match elbow {
            Some(elbow) => {
                let how = "turns of the route, two at an inverted loop, one at each trap";
                let elbows = turns + 2.0 * loops + traps;
                add(elbow, how, elbows, None);
                add("return bend", "one at an inverted loop, one at each trap", loops + traps, None);
                inline = elbows + loops + traps;
                let straight = straight_pieces(set.route.legs.iter().map(|leg| &leg.value));
                couplings = stock.map(|each| {
                    straight.iter().map(|piece| joints_between(*piece, metres(each.value))).sum::<f64>()
                });
            }
            None => {
                add("bend made in the tube, 90°", "turns of the route; not bought", turns, None);
                add(
                    "inverted loop bent from the tube",
                    "above the condenser's inlet; not bought",
                    loops,
                    None,
                );
                add(
                    "trap bent from the tube",
                    "foot of the riser, and as the maker asks; not bought",
                    traps,
                    None,
                );
                inline = 0.0;
                couplings = stock.map(|each| joints_between(cut_m, metres(each.value)));
            }
        }
        if let (Some(couplings), Some(each)) = (couplings, stock) {
            let each_words = self.length(metres(each.value));
            let how = match elbow {
                Some(_) => format!("one for each {each_words} of tube within a straight piece"),
                None => format!("one for each {each_words} of tube, as it is bent and not cut at turns"),
            };
            add("coupling", &how, couplings, Some(&each.source));
            inline += couplings;
        }
        for reducer in &view.reducers {
            let item = Item::new(FITTINGS, "reducer", "1", format!("connection of the {}", reducer.at));
            let item = item.of(service, format!("{} x {}", tube.name, reducer.connection.name));
            items.push(item.count(f64::from(reducer.count)).view(self.units()));
        }
        inline
    }

    fn insulation(&self, view: &LineView, tube: &TubeView, cut_m: f64, items: &mut Vec<MaterialItemView>) {
        let (service, habits) = (&*view.service, self.habits());
        let Some(wall) = self.line(view).and_then(|(line, _)| line.text.insulation) else { return };
        let wall = figure::diameter(1e3 * metres(wall.value)).both(self.units());
        let size = format!("for {}, wall {wall}", tube.name);
        let waste = habits.waste_insulation.value.get::<ratio>();
        let item = Item::new(INSULATION, "tube insulation", "m", "cut length of the line, each line alone");
        let item = item.of(service, size.clone()).count(cut_m).waste(waste);
        self.push(items, item.by(&habits.waste_insulation.source));
        let piece_m = metres(habits.insulation_piece.value);
        let what = format!("piece of insulation of {}", self.length(piece_m));
        let how = format!("order length of {}", self.length(cut_m * (1.0 + waste)));
        let item = Item::new(INSULATION, what, "1", how).of(service, size.clone());
        let count = pieces(cut_m * (1.0 + waste), piece_m);
        self.push(items, item.count(count).by(&habits.insulation_piece.source));
        let legs = &self.set.set.route.legs;
        let in_weather = legs.iter().filter(|leg| self.in_weather(&leg.value));
        let in_weather_m: f64 = in_weather.map(|leg| metres(leg.value.length)).sum();
        if in_weather_m > 0.0 {
            let how = "legs in the weather; none where the finish itself stands sun and rain";
            let item = Item::new(INSULATION, "weather cover over insulation", "m", how).of(service, size);
            let item = item.count(in_weather_m).waste(waste);
            self.push(items, item.by(&habits.waste_insulation.source));
        }
    }

    fn supports(&self, view: &LineView, tube: &TubeView, items: &mut Vec<MaterialItemView>) {
        let spacing = |direction: &str| {
            let supports = &view.strength.as_ref()?.supports;
            supports.iter().find(|support| support.direction == direction)
        };
        let item =
            Item::new(SUPPORTS, "support or clamp", "1", "each leg by its spacing, and one at the far end");
        let item = item.of(&view.service, tube.name.clone());
        let (mut count, mut lacks) = (1.0, None);
        for leg in &self.set.set.route.legs {
            let direction = if leg.value.direction.rise() == 0.0 { "level" } else { "upright" };
            match spacing(direction) {
                Some(support) => count += pieces(metres(leg.value.length), support.spacing_m),
                None => lacks = Some(direction),
            }
        }
        if let Some(direction) = lacks {
            self.push(items, item.missing(format!("the spacing of {direction} supports for {}", tube.name)));
            return;
        }
        let mut said = Vec::new();
        for direction in ["level", "upright"] {
            if let Some(support) = spacing(direction) {
                said.push(format!("{direction} {}", self.length(support.spacing_m)));
            }
        }
        let how = format!("each leg by its spacing ({}), and one at the far end", said.join(", "));
        let mut done = Item { how, ..item.count(count) }.view(self.units());
        if let Some(support) = spacing("level").or_else(|| spacing("upright")) {
            // That source states its own grade; the count is ours.
            done.source.clone_from(&support.source);
        }
        items.push(done);
    }

    /// Whether a leg lies in the weather: on a roof, or where the sun reaches it.
    fn in_weather(&self, leg: &Leg) -> bool {
        is_roof(&leg.place) || self.set.places.outdoors(&leg.place)
    }

    /// Where the lines pass from one place into another.
    fn of_building(&self, items: &mut Vec<MaterialItemView>) {
        let set = self.set.set;
        let lines = set.lines.len() as f64;
        let legs: Vec<&Leg> = set.route.legs.iter().map(|leg| &leg.value).collect();
        let (mut roof, mut wall, mut inside) = (0.0, 0.0, 0.0);
        for pair in legs.windows(2).filter(|pair| pair[0].place != pair[1].place) {
            match (self.in_weather(pair[0]), self.in_weather(pair[1])) {
                (true, true) => {}
                (false, false) => inside += 1.0,
                (from, _) if is_roof(&pair[usize::from(!from)].place) => roof += 1.0,
                _ => wall += 1.0,
            }
        }
        if roof + wall == 0.0 {
            let how = "legs that pass from a room into the weather";
            let missing =
                "where the lines leave the building: a leg `on roof`, or in a place with sun = true";
            self.push(items, Item::new(BUILDING, "way out of the building", "1", how).missing(missing));
        }
        let boxes = "legs that pass onto the roof: beside the curb, never through its base flashing";
        for (what, how, count) in [
            ("flashed pipe box", boxes, roof),
            ("sloped wall sleeve", "legs that pass through an outer wall", wall),
            ("seal of one line", "each line alone in each box or sleeve", (roof + wall) * lines),
            ("sleeve inside", "legs that pass between places inside; fire stop as the building asks", inside),
        ] {
            if count > 0.0 {
                self.push(items, Item::new(BUILDING, what, "1", how).count(count));
            }
        }
    }

    /// Filler, nitrogen and pump oil.
    fn of_work(&self, sum: &mut Sum, items: &mut Vec<MaterialItemView>) {
        let habits = self.habits();
        let untaken =
            (!sum.untaken.is_empty()).then(|| format!("a tube for the {} line", sum.untaken.join(" and ")));
        let rod_m = metres(habits.filler_rod.value);
        if sum.joints > 0.0 || untaken.is_some() {
            let how = format!(
                "{:.0} joints: two at each fitting and part, one at each end, one more at a reducer; rods of {}",
                sum.joints,
                figure::short_length(1e3 * rod_m).both(self.units())
            );
            let filler = self.library().supplies().filler_source();
            let item = Item { source: filler, ..Item::new(TEST, "rod of brazing filler", "1", how) };
            match untaken.clone().or_else(|| sum.rod_missing.clone()) {
                Some(missing) => self.push(items, item.missing(missing)),
                None => self.push(items, item.count(pieces(sum.rod_m, rod_m))),
            }
        }
        self.nitrogen(sum, untaken.as_deref(), items);
        let changes = 1.0
            + self
                .set
                .set
                .field
                .evacuation
                .as_ref()
                .and_then(|work| work.breaks)
                .map_or(0.0, |breaks| f64::from(breaks.value));
        let how = format!("{changes:.0} x one change: one before each time that the vacuum is drawn");
        let item =
            Item::new(TEST, PUMP_OIL, "m3", how).count(changes * habits.pump_oil.value.get::<cubic_meter>());
        self.push(items, item.by(&habits.pump_oil.source));
    }

    fn nitrogen(&self, sum: &Sum, untaken: Option<&str>, items: &mut Vec<MaterialItemView>) {
        let habits = self.habits();
        let purge_m3 = sum.joints
            * habits.purge_flow.value.get::<cubic_meter_per_second>()
            * habits.purge_time_of_joint.value.get::<second>();
        let how = format!(
            "{:.0} joints, {} each at a flow of {} an hour",
            sum.joints,
            self.both(habits.purge_time_of_joint.value.get::<second>(), "s"),
            figure::gas_volume(3600.0 * habits.purge_flow.value.get::<cubic_meter_per_second>())
                .both(self.units())
        );
        let item =
            Item::new(TEST, "dry nitrogen, flowing while brazing", "m3", how).by(&habits.purge_flow.source);
        match untaken {
            Some(missing) => self.push(items, item.missing(missing)),
            None => self.push(items, item.count(purge_m3)),
        }
        let mut all_m3 = purge_m3;
        let volume =
            self.proved_figure("pressure-test", "volume").or(self.proved_figure("evacuation", "volume"));
        let volume_m3 = volume.or((untaken.is_none()).then_some(sum.volume_m3));
        let air_pa = self.air_pressure().pascal();
        let test_pa = self.proved_figure("pressure-test", "test-pressure");
        let volume_words = volume_m3.map_or_else(
            || "a volume that is not known".to_owned(),
            |volume| figure::volume(volume).both(self.units()),
        );
        let test = Item::new(TEST, "dry nitrogen, pressure test", "m3", {
            match test_pa {
                Some(test) => format!(
                    "{volume_words} to {}, at the pressure of the air (p V)",
                    self.both(test, "Pa(g)")
                ),
                None => format!("{volume_words} to the test pressure"),
            }
        });
        let mut lacks = None;
        match (volume_m3, test_pa) {
            (Some(volume), Some(test_pa)) => {
                let gas = volume * test_pa / STANDARD_PA;
                all_m3 += gas;
                self.push(items, test.count(gas));
            }
            (volume, _) => {
                let missing = match volume {
                    None => "the volume of the lines (key pressure_test.volume)".to_owned(),
                    Some(_) => format!("the test pressure (table [set.{}.pressure_test])", self.size.name),
                };
                lacks = Some(missing.clone());
                self.push(items, test.missing(missing));
            }
        }
        let work = &self.set.set.field;
        let breaks = work.evacuation.as_ref().and_then(|work| work.breaks).map_or(0, |breaks| breaks.value);
        if let (Some(volume), 1..) = (volume_m3, breaks) {
            let gas = f64::from(breaks) * volume * air_pa / STANDARD_PA;
            all_m3 += gas;
            let how = format!("{volume_words}, {breaks} x to the pressure of the air");
            self.push(items, Item::new(TEST, "dry nitrogen, breaking the vacuum", "m3", how).count(gas));
        }
        let holding = work.holding.as_ref().filter(|holding| holding.gas.value == HoldingGas::Nitrogen);
        let held_pa = self.proved_figure("holding-charge", "holding-pressure").filter(|_| holding.is_some());
        if let (Some(volume), Some(held_pa)) = (volume_m3, held_pa) {
            let gas = volume * held_pa / STANDARD_PA;
            all_m3 += gas;
            let how = format!("{volume_words} to {}", self.both(held_pa, "Pa(g)"));
            self.push(items, Item::new(TEST, "dry nitrogen, holding charge", "m3", how).count(gas));
        }
        let full_pa = habits.nitrogen_cylinder_pressure.value.get::<pascal>();
        let cylinder_m3 = habits.nitrogen_cylinder.value.get::<cubic_meter>();
        let waste = habits.waste_nitrogen.value.get::<ratio>();
        // Gas below the test pressure does not flow into the lines any more.
        let usable = 1.0 - test_pa.map_or(0.0, |test| (test + air_pa) / (full_pa + air_pa));
        let above = match test_pa {
            Some(_) => {
                let share = figure::percent(usable.max(0.0)).both(self.units());
                format!(", of which {share} is above the test pressure")
            }
            None => String::new(),
        };
        let how = format!(
            "all nitrogen above and {} for waste, from cylinders of {}{above}",
            figure::percent(waste).both(self.units()),
            figure::gas_volume(cylinder_m3).both(self.units()),
        );
        let item = Item::new(TEST, "nitrogen cylinder", "1", how)
            .of("", figure::gas_volume(cylinder_m3).both(self.units()))
            .by(&habits.nitrogen_cylinder.source);
        let lacks = untaken.map(str::to_owned).or(lacks);
        let too_low = (usable <= 0.0).then(|| "a cylinder of a pressure above the test pressure".to_owned());
        match too_low.or(lacks) {
            Some(missing) => self.push(items, item.missing(missing)),
            None => self.push(items, item.count(all_m3 * (1.0 + waste) / (cylinder_m3 * usable))),
        }
    }

    fn of_refrigerant(&self, items: &mut Vec<MaterialItemView>) {
        let budget = self.charge.budget.as_ref();
        let added_kg = budget.and_then(|budget| budget.added_kg);
        let how = "the charge budget: lines and winter, beside what the head comes with";
        let item = Item::new(REFRIGERANT, "refrigerant to weigh in", "kg", how);
        let item = item.of("", self.set.refrigerant.clone());
        let question = || {
            let winter =
                budget.and_then(|budget| budget.winter.question.clone().or(budget.winter.missing.clone()));
            winter.unwrap_or_else(|| {
                "what the factory charge covers (`lineset charge` says which key)".to_owned()
            })
        };
        match added_kg {
            Some(added) if added < 0.0 => self.push(
                items,
                Item {
                    how: "the run is shorter than the one covered: nothing is added".to_owned(),
                    ..item.count(0.0)
                },
            ),
            Some(added) => self.push(items, item.count(added)),
            None => self.push(items, item.missing(question())),
        }
        let how = "whole cylinders for what is weighed in; some come with 24 lb or 30 lb";
        let item = Item::new(REFRIGERANT, "refrigerant cylinder of 25 lb (11.3 kg)", "1", how);
        let mut cylinders = item.of("", self.set.refrigerant.clone());
        match budget.and_then(|budget| budget.cylinders).zip(added_kg) {
            Some((of, added)) => cylinders = cylinders.count(added.max(0.0) / of.charge_each_kg),
            None => cylinders = cylinders.missing(question()),
        }
        let mut view = cylinders.view(self.units());
        (view.source, view.grade) = ("common practice, no source".to_owned(), "common practice".to_owned());
        items.push(view);
        if let Some(oil_kg) = budget.and_then(|budget| budget.oil_kg) {
            let how = "the maker's rule for added charge (key oil_per_charge), by weight";
            self.push(items, Item::new(REFRIGERANT, "oil for the added charge", "kg", how).count(oil_kg));
        }
    }

    fn assume(&self, sum: &mut Sum) {
        let said = &mut sum.assumptions;
        said.push(
            "the tubes are those that `lineset size` took; every set and every line is counted on its own"
                .to_owned(),
        );
        if self.set.set.route.short_form {
            said.push("the route is stated by run, lift and elbows: its legs are made up, half of the level part at each end (key route.legs)".to_owned());
        }
        if self.set.set.lines.iter().any(|line| line.joints.is_none()) {
            said.push("joints are brazed where the job does not say (key line.joints)".to_owned());
        }
        for line in self.size.lines.iter().filter(|line| {
            line.oil_return
                .as_ref()
                .is_some_and(|oil| oil.double_riser.is_some() || oil.riser_alone.is_some())
        }) {
            said.push(format!(
                "the {} line is counted in one tube: a double riser or a riser of its own that `lineset size` proposes is not \
                 on the list until the job says so",
                line.service
            ));
        }
        if let Some(kit) = self.size.kit.as_ref().and_then(|kit| kit.length_m) {
            said.push(format!(
                "a ready-made tube set of {} is on offer: it would take the place of tube, couplings and insulation",
                figure::length(kit).both(self.desk.units())
            ));
        }
        if self.set.set.receiver_at.value == ReceiverAt::Condenser {
            said.push("the receiver up there comes with the equipment".to_owned());
        }
    }
}

fn metres(length: physics::units::Length) -> f64 {
    length.get::<meter>()
}

fn is_coil(product: &TubeProduct) -> bool {
    product.form == tables::tubes::Form::Coil
}

fn is_roof(place: &str) -> bool {
    place.to_lowercase().contains("roof")
}

/// Lengths of tube between turns: legs that go on in one direction are one piece.
fn straight_pieces<'a>(legs: impl Iterator<Item = &'a Leg>) -> Vec<f64> {
    let mut pieces: Vec<(Direction, f64)> = Vec::new();
    for leg in legs {
        match pieces.last_mut().filter(|(direction, _)| *direction == leg.direction) {
            Some((_, length_m)) => *length_m += metres(leg.length),
            None => pieces.push((leg.direction, metres(leg.length))),
        }
    }
    pieces.into_iter().map(|(_, length_m)| length_m).collect()
}

/// Joints of all parts of an entry.
fn part_joints(part: &Part) -> f64 {
    let each = if part.kind == PartKind::Tee { 3.0 } else { 2.0 };
    f64::from(part.count) * each
}

/// `check valve, kv 1.4 m3/h, cracking 0.5 psi (3.4 kPa)`: the part as the job has it, without its count.
fn part_words(part: &Part, atmosphere: AbsolutePressure, units: Units) -> String {
    let mut words = part.kind.name().to_owned();
    if let Some(kv) = part.kv {
        words.push_str(&format!(", kv {} m3/h", figure::six_digits(kv.kv_m3_h())));
    }
    if let Some(cracking) = part.cracking {
        let cracking = figure::pressure_difference(cracking.get::<pascal>()).both(units);
        words.push_str(&format!(", cracking {cracking}"));
    }
    if let Some(rated) = part.rated {
        let rated = figure::gauge_pressure(gauge_pa(rated, atmosphere)).both(units);
        words.push_str(&format!(", rated {rated}"));
    }
    words
}

/// The items of all sets together: what is alike is added up.
pub(super) fn of_all(sets: &[SetPackView], units: Units) -> Vec<MaterialItemView> {
    let mut all: Vec<(MaterialItemView, Vec<String>)> = Vec::new();
    for set in sets {
        for item in &set.materials.items {
            let share = match item.line.as_str() {
                "" => format!("{} {}", set.name, item.quantity_words),
                line => format!("{} {line} {}", set.name, item.quantity_words),
            };
            let alike = |(other, _): &&mut (MaterialItemView, Vec<String>)| {
                (other.group, &other.what, &other.size, other.unit)
                    == (item.group, &item.what, &item.size, item.unit)
            };
            match all.iter_mut().find(alike) {
                Some((sum, shares)) => {
                    // One share that is not known leaves the sum unknown.
                    sum.counted = sum.counted.zip(item.counted).map(|(one, other)| one + other);
                    // Pieces are bought whole for all sets together: two thirds of a cylinder each for three are two.
                    sum.quantity = match sum.unit {
                        "1" => sum.counted.map(|counted| pieces(counted * (1.0 + sum.waste), 1.0)),
                        _ => sum.quantity.zip(item.quantity).map(|(one, other)| one + other),
                    };
                    sum.missing = sum.missing.take().or_else(|| item.missing.clone());
                    shares.push(share);
                }
                None => all.push((MaterialItemView { line: String::new(), ..item.clone() }, vec![share])),
            }
        }
    }
    all.sort_by_key(|(item, _)| in_order(item.group));
    all.into_iter()
        .map(|(item, shares)| {
            let said =
                |value: Option<f64>| value.map(|value| words(value, item.unit, &item.what).both(units));
            MaterialItemView {
                counted_words: said(item.counted).unwrap_or_default(),
                quantity_words: said(item.quantity).unwrap_or_else(|| "not known".to_owned()),
                how: shares.join("; "),
                ..item
            }
        })
        .collect()
}
