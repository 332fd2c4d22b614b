use super::*;
use physics::units::{TemperatureInterval, unit::temperature_interval::kelvin as kelvin_interval};
use std::fmt::Write as _;

const DAYS: [u8; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Every hour of a year with a temperature that tells its month and hour.
fn hours(leap_year: bool) -> Vec<(u8, u8, u8, String)> {
    let days = |month: u8| DAYS[usize::from(month) - 1] + u8::from(leap_year && month == 2);
    (1..=12)
        .flat_map(|month| (1..=days(month)).map(move |day| (month, day)))
        .flat_map(|(month, day)| {
            (1..=24).map(move |hour| (month, day, hour, format!("{month}.{}", hour % 10)))
        })
        .collect()
}

fn epw(hours: &[(u8, u8, u8, String)]) -> String {
    let mut out = "LOCATION,Nowhere,-,XXX,invented,0,10.0,20.0,1.0,123.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
                   GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,invented\nCOMMENTS 2,\n\
                   DATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
        .to_owned();
    for (month, day, hour, air) in hours {
        let _ = writeln!(out, "1999,{month},{day},{hour},60,?9,{air}{}", ",0".repeat(28));
    }
    out
}

fn tmy3(hours: &[(u8, u8, u8, String)]) -> String {
    let mut out = "000000,\"NOWHERE, FIELD\",XX,1.0,10.0,20.0,273\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),Dry-bulb (C),\
                   Dry-bulb source\n"
        .to_owned();
    for (month, day, hour, air) in hours {
        let _ = writeln!(out, "{month:02}/{day:02}/19{:02},{hour:02}:00,0,{air},A", 80 + month);
    }
    out
}

fn said(text: &str) -> String {
    read("town.epw", text.as_bytes()).unwrap_err().to_string()
}

fn bins_said(text: &str) -> String {
    read("bins.csv", text.as_bytes()).unwrap_err().to_string()
}

fn air_hours(weather: &Weather) -> Vec<Hour> {
    match &weather.air {
        Air::Hours(hours) => hours.clone(),
        Air::Bins(_) => panic!("hours expected"),
    }
}

fn celsius(bin: &Bin) -> f64 {
    bin.air.get::<degree_celsius>()
}

fn as_hours(time: Time) -> f64 {
    time.get::<time::hour>()
}

#[test]
fn both_hourly_formats_give_the_same_year() {
    let rows = hours(false);
    let (epw, tmy3) =
        (read("a.epw", epw(&rows).as_bytes()).unwrap(), read("b.csv", tmy3(&rows).as_bytes()).unwrap());
    assert_eq!((epw.kind, tmy3.kind), (Kind::Epw, Kind::Tmy3));
    assert_eq!(epw.place.as_deref(), Some("Nowhere, XXX"));
    assert_eq!(tmy3.place.as_deref(), Some("NOWHERE, FIELD, XX"));
    assert_eq!(epw.altitude, Some(Length::new::<meter>(123.0)));
    assert_eq!(tmy3.altitude, Some(Length::new::<meter>(273.0)));
    assert_eq!(epw.air, tmy3.air);
    let first = air_hours(&epw)[0];
    assert_eq!((first.at.month(), first.at.day(), first.at.hour()), (1, 1, 1));
    assert!((first.air.get::<degree_celsius>() - 1.1).abs() < 1e-9);
    for weather in [&epw, &tmy3] {
        assert_eq!((as_hours(weather.time()), as_hours(weather.missing())), (8760.0, 0.0));
        assert!(!weather.leap_year && weather.gaps.is_empty());
    }
    assert_eq!(&*epw.source.text, "a.epw (EPW, Nowhere, XXX)");
    assert_eq!(tmy3.source.grade, Grade::Stated);
}

#[test]
fn names_are_read_in_the_encodings_they_come_in() {
    let text = epw(&hours(false)).replace("Nowhere", "Zürich");
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    let marked = [b"\xef\xbb\xbf", text.as_bytes()].concat();
    for bytes in [text.as_bytes(), &latin, &marked, text.replace('\n', "\r\n").as_bytes()] {
        assert_eq!(read("a.epw", bytes).unwrap().place.as_deref(), Some("Zürich, XXX"));
    }
}

#[test]
fn place_and_altitude_may_be_left_out() {
    let text = epw(&hours(false)).replacen("Nowhere,-,XXX", "-,,", 1).replacen("123.0", "", 1);
    let weather = read("a.epw", text.as_bytes()).unwrap();
    assert_eq!((weather.place, weather.altitude), (None, None));
    assert_eq!(&*weather.source.text, "a.epw (EPW)");
    for bad in ["high", "9999.9", "-1001", "NaN"] {
        let text = epw(&hours(false)).replacen("123.0", bad, 1);
        assert_eq!(
            said(&text),
            format!(
                "town.epw, line 1, column elevation: `{bad}` is no height above sea level in metres; write metres \
                     with a decimal point, or nothing"
            )
        );
    }
    assert!(read("a", epw(&hours(false)).replacen("123.0", "-1000", 1).as_bytes()).is_ok());
}

#[test]
fn bins_hold_every_hour_once() {
    let weather = read("a.epw", epw(&hours(false)).as_bytes()).unwrap();
    let bins = weather.bins();
    assert!(bins.is_sorted_by(|a, b| a.air < b.air), "rising, none twice");
    // Ten tenths a month; January has 24 = 2 x 10 + 4 hours a day, so that tenths 1 to 4 come three times.
    assert_eq!(bins.len(), 120);
    assert_eq!(bins.iter().map(|bin| as_hours(bin.time)).sum::<f64>(), 8760.0);
    let at = |wanted: f64| {
        as_hours(
            bins.iter()
                .find(|bin| (celsius(bin) - wanted).abs() < 1e-9)
                .map_or_else(Default::default, |bin| bin.time),
        )
    };
    assert_eq!((at(1.1), at(1.5), at(2.0), at(0.5)), (93.0, 62.0, 56.0, 0.0));
}

#[test]
fn a_leap_year_keeps_its_day() {
    let weather = read("a.epw", epw(&hours(true)).as_bytes()).unwrap();
    assert!(weather.leap_year);
    assert_eq!((as_hours(weather.time()), as_hours(weather.missing())), (8784.0, 0.0));
    assert_eq!(air_hours(&weather).iter().filter(|hour| hour.at.is_leap_day()).count(), 24);
}

#[test]
fn missing_hours_are_told_and_not_filled_in() {
    let mut rows = hours(false);
    for (row, code) in rows[100..106].iter_mut().zip(["99.9", "999", "9999.0", "-9900", "", "-9999"]) {
        row.3 = code.to_owned();
    }
    rows.drain(200..202);
    let weather = read("a.epw", epw(&rows).as_bytes()).unwrap();
    assert_eq!((as_hours(weather.time()), as_hours(weather.missing())), (8752.0, 8.0));
    let gaps: Vec<_> = weather.gaps.iter().map(ToString::to_string).collect();
    assert_eq!(gaps, ["6 hours from 5 January 05:00", "2 hours from 9 January 09:00"]);
    assert_eq!(weather.bins().iter().map(|bin| as_hours(bin.time)).sum::<f64>(), 8752.0);
}

#[test]
fn more_than_a_hundredth_missing_is_refused() {
    let rows = hours(false);
    let without = |count: usize| epw(&[&rows[..300], &rows[300 + count..]].concat());
    assert_eq!(as_hours(read("a", without(87).as_bytes()).unwrap().missing()), 87.0);
    assert_eq!(
        said(&without(88)),
        "town.epw, line 8680: 88 of 8760 hours are missing, more than 1 %; the first gap is 88 hours from 13 January \
         13:00; take a file with the whole year: nothing is filled in here"
    );
    let marked = |code: &str| {
        let mut rows = rows.clone();
        rows.iter_mut().for_each(|row| row.3 = code.to_owned());
        said(&epw(&rows))
    };
    assert!(marked("99.9").contains("8760 of 8760 hours are missing"));
    let half_leap: Vec<_> =
        hours(true).into_iter().filter(|row| (row.0, row.1) != (2, 29) || row.2 < 13).collect();
    let weather = read("a", epw(&half_leap).as_bytes()).unwrap();
    assert_eq!((weather.leap_year, as_hours(weather.missing())), (true, 12.0));
}

#[test]
fn an_hour_given_twice_is_refused_with_both_lines() {
    let mut rows = hours(false);
    rows.insert(1000, rows[10].clone());
    let end = "11:00 stands already in line";
    let help = "a file holds each hour of one year once, in standard time (no summer time)";
    assert_eq!(
        said(&epw(&rows)),
        format!("town.epw, line 1009, column 2 to 4 (month, day, hour): 1 January {end} 19; {help}")
    );
    assert_eq!(
        said(&tmy3(&rows)),
        format!("town.epw, line 1003, column Date (MM/DD/YYYY): 1 January {end} 13; {help}")
    );
}

#[test]
fn a_file_cut_short_is_refused() {
    let rows = hours(false);
    assert_eq!(
        said(&epw(&rows[..8759])),
        "town.epw, line 8767: the file ends at 31 December 23:00, before the year does; fetch the file again: it must \
         reach 31 December 24:00"
    );
    for text in [epw(&rows), tmy3(&rows)] {
        let cut = &text[..text.len() - 9];
        let message = said(cut);
        assert!(message.contains("cells;") && message.ends_with("fetch it again"), "{message}");
    }
    let header = |text: String, lines: usize| text.lines().take(lines).collect::<Vec<_>>().join("\n");
    assert_eq!(
        said(&header(epw(&rows), 8)),
        "town.epw, line 1: the file has no hours; the file may be cut off: fetch it again"
    );
    assert!(said(&header(tmy3(&rows), 2)).contains("no hours"));
    assert!(
        said(&header(epw(&rows), 7))
            .starts_with("town.epw, line 7: the eighth line does not begin with DATA PERIODS")
    );
}

#[test]
fn another_unit_is_refused() {
    let mut rows = hours(false);
    rows[50].3 = "60.0".into();
    rows[51].3 = "-90".into();
    assert!(read("a", epw(&rows).as_bytes()).is_ok());
    for (bad, told) in
        [("60.1", "60.1"), ("-90.1", "-90.1"), ("283.15", "283.15"), ("99.8", "99.8"), ("899", "899")]
    {
        rows[50].3 = bad.into();
        assert_eq!(
            said(&epw(&rows)),
            format!(
                "town.epw, line 59, column 7 (dry bulb temperature): air of {told} °C lies outside -90 to 60 °C; check \
                 the unit: hourly files are in °C; a bin table says `°C` or `°F`"
            )
        );
    }
    let text = tmy3(&hours(false));
    assert_eq!(
        said(&text.replace("Dry-bulb (C)", "Dry-bulb (F)")),
        "town.epw, line 2, column Dry-bulb (F): the column is in another unit than °C; take the file as it was \
         published, with `Dry-bulb (C)`"
    );
    assert_eq!(
        said(&text.replace("Dry-bulb (C)", "Temperature")),
        "town.epw, line 2: the header has no column `Dry-bulb (C)`; add `Dry-bulb (C)` to the header, or take the file \
         as it was published"
    );
    assert!(said(&text.replace("Time (HH:MM)", "Time")).contains("no column `Time (HH:MM)`"));
}

#[test]
fn cells_that_make_no_hour_or_number_are_told() {
    let rows = hours(false);
    for (bad, told) in
        [("5,6", "36 cells; 35"), ("5 C", "`5 C` is not a number"), ("inf", "`inf` is not a number")]
    {
        let mut rows = rows.clone();
        rows[3].3 = bad.into();
        let message = said(&epw(&rows));
        assert!(message.starts_with("town.epw, line 12") && message.contains(told), "{message}");
    }
    let mut zero = rows.clone();
    zero[24].2 = 0;
    assert_eq!(
        said(&epw(&zero)),
        "town.epw, line 33, column 2 to 4 (month, day, hour): `month 1, day 2, hour 0` is no whole hour of a year; \
         write month, day and hours 1 to 24 as the format has them, in whole hours"
    );
    let text = tmy3(&rows);
    for (good, bad) in [
        ("01/01/1981,01:00", "01/01/1981,01:30"),
        ("01/01/1981,01:00", "1981-01-01,01:00"),
        ("01/01/1981,01:00", "01/01/1981/1,01:00"),
        ("01/01/1981,01:00", "01/01/81,01:00"),
        ("01/01/1981,01:00", "13/01/1981,01:00"),
        ("01/01/1981,01:00", "01/01/year,01:00"),
    ] {
        let message = said(&text.replacen(good, bad, 1));
        assert!(message.starts_with("town.epw, line 3, column Date (MM/DD/YYYY): `"), "{message}");
        assert!(message.contains("no whole hour"), "{message}");
    }
}

#[test]
fn rows_are_as_wide_as_the_first() {
    let text = epw(&hours(false));
    assert!(
        read(
            "a",
            text.replace(&format!("{}\n", ",0".repeat(28)), &format!("{}\n", ",0".repeat(25))).as_bytes()
        )
        .is_ok()
    );
    let narrow = text.replace(&format!("{}\n", ",0".repeat(28)), &format!("{}\n", ",0".repeat(24)));
    assert!(said(&narrow).starts_with("town.epw, line 9: the row has 31 cells; 35 are expected"));
    let blank = text.replace("1999,2,1,1,", "\n  \n1999,2,1,1,");
    assert!(read("a", blank.as_bytes()).is_ok(), "empty lines are no rows");
}

#[test]
fn several_records_an_hour_are_refused() {
    let text = epw(&hours(false)).replace("DATA PERIODS,1,1", "DATA PERIODS,1,4");
    assert_eq!(
        said(&text),
        "town.epw, line 8, column records per hour: the file has `4` records an hour; take a file with 1 record an hour"
    );
}

#[test]
fn what_is_no_weather_is_refused() {
    assert!(bins_said("").contains("neither EPW nor TMY3 nor a bin table"));
    assert!(bins_said("name,age\nx,1\n").starts_with("bins.csv, line 1: this is neither"));
    assert!(bins_said("# remark\n\nhours\n1\n").starts_with("bins.csv, line 3: this is neither"));
    for text in [epw(&hours(false)), tmy3(&hours(false))] {
        assert!(said(&text.replace(',', ";")).contains("separated by semicolons"));
    }
    let fault = |bytes: &[u8]| read("x", bytes).unwrap_err().fault;
    assert_eq!(fault(b"PK\x03\x04\0\0"), WeatherFault::NotText);
    assert_eq!(fault(b"\xff\xfea"), WeatherFault::NotText);
    assert_eq!(fault(b"\xfe\xffa"), WeatherFault::NotText);
    assert!(matches!(fault(&vec![b'a'; LARGEST + 1]), WeatherFault::TooLarge { .. }));
    assert_eq!(fault(&vec![b'a'; LARGEST]), WeatherFault::Unrecognised);
}

#[test]
fn a_bin_table_is_read_with_units_in_header_or_cells() {
    let expected = [(-10.0, 100.5), (0.0, 4000.0), (20.0, 4659.5)];
    for text in [
        "air_temperature,hours\n-10 °C,100.5\n0 °C,4000\n20 °C,4659.5 h\n",
        "# invented\nhours,Air temperature (degC)\n\n4659.5,20\n100.5,\u{2212}10\n4000,0 °C\n0,50\n",
        "air_temperature [°F],hours [h]\n14,100.5\n32,4000\n68,4659.5\n",
        "air_temperature;hours\n-10,0 °C;100,5\n273,15 K;4000\n68 F;4659,5\n",
        "air_temperature\thours\n-10 C\t100.5\n0 C\t4000\n20 C\t4659,5\n",
    ] {
        let weather = read("bins.csv", text.as_bytes()).unwrap();
        let bins = weather.bins();
        let found: Vec<_> = bins.iter().map(|bin| (celsius(bin), as_hours(bin.time))).collect();
        assert_eq!(found.len(), 3, "{text}");
        for (found, expected) in found.iter().zip(expected) {
            assert!(
                (found.0 - expected.0).abs() < 1e-9 && (found.1 - expected.1).abs() < 1e-9,
                "{text}: {found:?}"
            );
        }
        assert_eq!(
            (weather.kind, weather.leap_year, as_hours(weather.missing())),
            (Kind::BinTable, false, 0.0)
        );
        assert_eq!(&*weather.source.text, "bins.csv (bin table)");
    }
}

#[test]
fn hours_of_a_bin_table_make_a_year() {
    let table = |hours: f64| format!("air_temperature (°C),hours\n10,{hours}\n");
    let sums = |hours: f64| {
        let weather = read("bins.csv", table(hours).as_bytes()).unwrap();
        (weather.leap_year, as_hours(weather.missing()))
    };
    assert_eq!(sums(8760.0), (false, 0.0));
    assert_eq!(sums(8760.5), (false, 0.0));
    assert_eq!(sums(8766.0), (true, 0.0));
    assert_eq!(sums(8784.5), (true, 0.0));
    assert_eq!(sums(8700.0), (false, 60.0));
    for hours in [8672.0, 8785.0, 5000.0] {
        assert_eq!(
            bins_said(&table(hours)),
            format!(
                "bins.csv, line 2, column hours: the hours sum to {hours}; a year has 8760, and a leap year 8784; write \
                 the hours of the whole year, those without load too"
            )
        );
    }
}

#[test]
fn faults_of_a_bin_table_say_what_to_write() {
    let faults = [
        ("air_temperature\n10 C\n", "line 1: the header has no column `hours`; add `hours`"),
        ("air_temperature,hours,load\n", "line 1, column load: the header has this column"),
        ("air_temperature,hours,hours\n", "line 1, column hours: the header has this column"),
        ("air_temperature,hours\n", "line 1: the file has no hours"),
        ("air_temperature,hours\n10 C,0\n", "line 2: the file has no hours"),
        (
            "air_temperature (R),hours\n",
            "line 1, column air_temperature: `R` is no unit here; write `°C`, `°F` or `K`",
        ),
        (
            "air_temperature,hours (days)\n",
            "line 1, column hours: `days` is no unit here; write the number of hours",
        ),
        ("air_temperature,hours\n10 C\n", "line 2: the row has 1 cells; 2 are expected"),
        ("air_temperature,hours\n,8760\n", "line 2, column air_temperature: `` is not a number"),
        (
            "air_temperature,hours\n10,8760\n",
            "line 2, column air_temperature: `10` has no unit; write `10 °C` or `10 °F`",
        ),
        ("air_temperature,hours\n10 X,8760\n", "line 2, column air_temperature: `X` is no unit here"),
        (
            "air_temperature (C),hours\n10 F,8760\n",
            "line 2, column air_temperature: `10 F` has another unit than the header",
        ),
        ("air_temperature,hours\n61 C,8760\n", "line 2, column air_temperature: air of 61 °C lies outside"),
        ("air_temperature,hours\n10 C,-1\n", "line 2, column hours: `-1` hours are fewer than none"),
        ("air_temperature,hours\n10 C,10 days\n", "line 2, column hours: `days` is no unit here"),
        (
            "air_temperature,hours\n10 C,\"87,6\"\n",
            "line 2, column hours: `87,6` is not a number; write digits with a decimal point",
        ),
        ("air_temperature,hours\n10 C,nan\n", "line 2, column hours: `nan` is not a number"),
        (
            "air_temperature;hours\n10 C;8,760\n",
            "line 2, column hours: `8,760` is read in two ways where cells are separated by semicolons or tab stops; write `8760` or `8.7600`",
        ),
        (
            "air_temperature,hours\n10 C,8000\n\n# x\n10 C,760\n",
            "line 5, column air_temperature: `10 C` stands already in line 2; write one row a temperature",
        ),
    ];
    for (text, told) in faults {
        let message = bins_said(text);
        assert!(message.starts_with(&format!("bins.csv, {told}")), "{message}");
    }
}

#[test]
fn an_invented_year_has_the_mean_and_swings_asked_for() {
    let mean = ThermodynamicTemperature::new::<degree_celsius>(10.0);
    let kelvins = TemperatureInterval::new::<kelvin_interval>;
    let weather = invented(mean, kelvins(24.0), kelvins(8.0)).unwrap();
    let hours = air_hours(&weather);
    assert_eq!((weather.kind, hours.len(), weather.leap_year), (Kind::Invented, 8760, false));
    let celsius: Vec<f64> = hours.iter().map(|hour| hour.air.get::<degree_celsius>()).collect();
    // Each hour is rounded to 0.1 K; both cosines sum to zero over their period.
    let average = celsius.iter().sum::<f64>() / 8760.0;
    assert!((average - 10.0).abs() < 0.005, "{average}");
    let day_mean = |day: usize| celsius[day * 24..][..24].iter().sum::<f64>() / 24.0;
    let (coldest, warmest) = (0..365)
        .map(day_mean)
        .fold((f64::MAX, f64::MIN), |(low, high), mean| (low.min(mean), high.max(mean)));
    assert!((day_mean(14) - coldest).abs() < 1e-9, "15 January; its neighbours may round to the same");
    for apart in [5, 10, 14] {
        assert!(
            (day_mean(14 - apart) - day_mean(14 + apart)).abs() < 1e-9,
            "and they are the same on both sides"
        );
    }
    assert!((warmest - coldest - 24.0).abs() < 0.05, "{warmest} {coldest}");
    for day in celsius.chunks(24) {
        assert!(
            day.iter().all(|air| *air <= day[14] && *air >= day[2]),
            "warmest at 15:00, coldest at 03:00"
        );
        assert!((day[14] - day[2] - 8.0).abs() < 0.11, "{day:?}");
    }
    assert_eq!(
        &*weather.source.text,
        "invented site, no place on earth: mean 10.0 °C, 24.0 K from winter to summer, 8.0 K from night to afternoon"
    );
    assert!(weather.bins().len() < 400, "few distinct temperatures: {}", weather.bins().len());
    let refused = invented(mean, kelvins(60.0), kelvins(60.0)).unwrap_err();
    assert!(matches!(refused, WeatherFault::NoAir { .. }), "{refused}");
    assert!(invented(mean, kelvins(f64::NAN), kelvins(0.0)).is_err());
}
