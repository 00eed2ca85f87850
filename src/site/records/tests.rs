use super::*;
use chrono::NaiveDateTime;

fn asked() -> Asked {
    Asked {
        time_zone: "Europe/Madrid".to_owned(),
        today: NaiveDate::from_ymd_opt(2026, 12, 1),
        ..Asked::default()
    }
}

fn read_as(text: &str, asked: &Asked) -> Reading {
    read(text.as_bytes(), asked, &Progress::new()).unwrap()
}

fn read_text(text: &str) -> Reading {
    read_as(text, &asked())
}

fn error(text: &str) -> String {
    read(text.as_bytes(), &asked(), &Progress::new())
        .unwrap_err()
        .to_string()
}

fn values(reading: &Reading, quantity: Quantity) -> Vec<(String, f64)> {
    let records = reading.records.as_ref().unwrap();
    records
        .of(quantity)
        .map(|(at, v)| {
            (
                at.format("%m-%d %H:%M").to_string(),
                (v * 100.0).round() / 100.0,
            )
        })
        .collect()
}

fn t(text: &str) -> NaiveDateTime {
    text.parse().unwrap()
}

#[test]
fn a_german_file_with_title_units_line_and_decimal_commas() {
    let reading = read_text(
        "Messstelle Balkon\r\nSeriennummer;12\r\n\r\nDatum;Uhrzeit;Temperatur;rel. Feuchte\r\n;;°C;%\r\n\
         13.02.2026;23:30;4,5;81,0\r\n13.02.2026;23:45;4,3;\r\n14.02.2026;00:00;-0,1;83,5\r\n",
    );
    assert!(reading.preview.questions.is_empty());
    assert_eq!(reading.preview.decimal, Decimal::Comma);
    assert_eq!(reading.preview.step_min, Some(15.0));
    assert_eq!(
        values(&reading, Quantity::Temperature),
        [
            ("02-13 23:30".to_owned(), 4.5),
            ("02-13 23:45".to_owned(), 4.3),
            ("02-14 00:00".to_owned(), -0.1)
        ]
    );
    assert_eq!(values(&reading, Quantity::Humidity).len(), 2);
    assert_eq!(reading.preview.fault_count, 0);
}

#[test]
fn an_american_file_with_fahrenheit_and_twelve_hours() {
    let reading = read_text(
        "#,Date Time,\"Temp, °F\",\"RH, %\",\"Intensity, lum/ft²\"\n1,02/13/26 11:00:00 PM,50,80,0\n\
         2,02/13/26 11:30:00 PM,32,81,1000\n3,02/14/26 12:00:00 AM,14,82,\n",
    );
    assert_eq!(
        values(&reading, Quantity::Temperature),
        [
            ("02-13 23:00".to_owned(), 10.0),
            ("02-13 23:30".to_owned(), 0.0),
            ("02-14 00:00".to_owned(), -10.0)
        ]
    );
    // 1,000 fc are 10,764 lux, 199.3 µmol of daylight at 54 lux each.
    assert_eq!(values(&reading, Quantity::Light)[1].1, 199.33);
}

#[test]
fn dates_that_can_be_read_two_ways_are_asked_for() {
    let text = "time,temp_c\n03/02/2026 10:00,5\n03/02/2026 11:00,6\n";
    let reading = read_text(text);
    assert!(reading.records.is_none());
    assert_eq!(
        reading.preview.questions,
        [Question::Order {
            example: "03/02/2026 10:00".to_owned(),
            line: 2
        }]
    );
    let told = Asked {
        order: Some(DateOrder::MonthDayYear),
        ..asked()
    };
    let reading = read_as(text, &told);
    assert_eq!(reading.preview.first, Some(t("2026-03-02T10:00:00")));
}

#[test]
fn forty_degrees_fahrenheit_are_not_taken_for_celsius() {
    let file = |heading: &str, values: [f64; 3]| {
        let rows: String = values
            .iter()
            .enumerate()
            .map(|(i, v)| format!("2026-02-{:02} 10:00,{v}\n", i + 1))
            .collect();
        format!("time,{heading}\n{rows}")
    };
    // No unit, and as °C it would kill: °F.
    let reading = read_text(&file("temperature", [40.0, 41.0, 50.0]));
    assert_eq!(reading.preview.columns[0].unit, Some(Unit::Fahrenheit));
    assert!(reading.preview.columns[0].understood().contains("°F"));
    assert_eq!(values(&reading, Quantity::Temperature)[2].1, 10.0);
    // Marked as °C: the mark may be wrong, so it is asked.
    let reading = read_text(&file("temperature (°C)", [40.0, 41.0, 50.0]));
    assert!(matches!(
        &reading.preview.questions[..],
        [Question::Unit { column: 1, .. }]
    ));
    assert!(reading.records.is_none());
    // Between: asked.
    let reading = read_text(&file("temperature", [33.0, 34.0, 35.0]));
    assert!(matches!(
        &reading.preview.questions[..],
        [Question::Unit { .. }]
    ));
    let mut told = asked();
    told.units.insert(1, Unit::Fahrenheit);
    let reading = read_as(&file("temperature", [33.0, 34.0, 41.0]), &told);
    assert_eq!(values(&reading, Quantity::Temperature)[2].1, 5.0);
    // Usual °C.
    let reading = read_text(&file("temperature", [3.0, 14.0, 21.0]));
    assert_eq!(reading.preview.columns[0].unit_by, Some(UnitBy::Usual));
}

#[test]
fn the_hours_of_clock_changes_find_their_place() {
    // 29 March and 25 October 2026, Madrid; both files count by the clock.
    let spring =
        read_text("time,temp °C\n2026-03-29 01:00,5\n2026-03-29 03:00,6\n2026-03-29 04:00,7\n");
    assert_eq!(spring.preview.time, TimeKept::Clock);
    assert_eq!(spring.preview.rows_missing, 0);
    let autumn = read_text(
        "time,temp °C\n2026-10-25 01:00,1\n2026-10-25 02:00,2\n2026-10-25 02:00,3\n2026-10-25 03:00,4\n",
    );
    assert_eq!(
        values(&autumn, Quantity::Temperature),
        [
            ("10-25 00:00".to_owned(), 1.0),
            ("10-25 01:00".to_owned(), 2.0),
            ("10-25 02:00".to_owned(), 3.0),
            ("10-25 03:00".to_owned(), 4.0)
        ]
    );
    assert_eq!(
        (autumn.preview.rows_doubled, autumn.preview.fault_count),
        (0, 0)
    );
    // A file that goes on through the gap keeps standard time.
    let standard = read_text(
        "time,temp °C\n2026-03-29 01:00,5\n2026-03-29 02:00,6\n2026-03-29 03:00,7\n2026-07-01 12:00,20\n",
    );
    assert_eq!(standard.preview.time, TimeKept::Standard);
    assert_eq!(standard.preview.last, Some(t("2026-07-01T12:00:00")));
    // Summer only: the clock is taken for granted, and that is said.
    let summer = read_text("time,temp °C\n2026-07-01 12:00,20\n2026-07-01 13:00,21\n");
    assert!(summer.preview.time_assumed);
    assert_eq!(summer.preview.first, Some(t("2026-07-01T11:00:00")));
    let utc = read_text("time (UTC),temp °C\n2026-07-01 12:00,20\n2026-07-01 13:00,21\n");
    assert_eq!(utc.preview.first, Some(t("2026-07-01T13:00:00")));
    let offsets = read_text("time,temp °C\n2026-07-01T12:00+02:00,20\n2026-07-01T13:00+02:00,21\n");
    assert_eq!(offsets.preview.first, Some(t("2026-07-01T11:00:00")));
}

#[test]
fn faults_name_line_and_column_and_the_rest_is_taken() {
    let reading = read_text(
        "time;temp °C;RH %\n2026-02-01 10:00;5;80\nrubbish;6;81\n2026-02-01 12:00;warm;82\n2026-02-01 13:00;7;83\n\
         2026-02-01 13:00;9;83\n2026-02-01 16:00;8;140\n2026-13-01 17:00;8;80\n2030-01-01 00:00;8;80\n2026-02-01 17:00;8;80;1\n",
    );
    let faults: Vec<(u64, Option<&str>)> = reading
        .preview
        .faults
        .iter()
        .map(|f| (f.line, f.column.as_deref()))
        .collect();
    assert_eq!(
        faults,
        [
            (3, Some("time")),
            (4, Some("temp °C")),
            (6, Some("time")),
            (7, Some("RH %")),
            (8, Some("time")),
            (9, Some("time")),
            (10, None),
        ]
    );
    assert!(
        reading
            .preview
            .faults
            .iter()
            .all(|f| !f.what.is_empty() && !f.remedy.is_empty())
    );
    assert_eq!(reading.preview.rows_doubled, 1);
    assert_eq!(
        values(&reading, Quantity::Temperature),
        [
            ("02-01 10:00".to_owned(), 5.0),
            ("02-01 13:00".to_owned(), 7.0),
            ("02-01 16:00".to_owned(), 8.0)
        ]
    );
}

#[test]
fn newest_first_years_in_columns_and_bare_digits() {
    let reading =
        read_text("time,temp °C\n2026-02-03 01:00,3\n2026-02-03 00:00,2\n2026-02-02 23:00,1\n");
    assert_eq!(values(&reading, Quantity::Temperature)[0].1, 1.0);
    let reading =
        read_text("Jahr;Monat;Tag;Stunde;Temperatur °C\n2026;2;13;23;4,5\n2026;2;14;0;4,0\n");
    assert_eq!(reading.preview.last, Some(t("2026-02-14T00:00:00")));
    let reading = read_text("date;TMK;TNK\n20260213;4.5;1.0\n20260214;5.0;2.0\n");
    assert_eq!(values(&reading, Quantity::TemperatureMin).len(), 2);
    assert_eq!(reading.preview.step_min, Some(1440.0));
}

#[test]
fn files_that_are_no_tables_get_a_clear_word() {
    for (text, word) in [
        ("", "empty"),
        ("\n \n", "empty"),
        ("PK\u{3}\u{4}abc", "spreadsheet"),
        ("a\0b\0c", "no text"),
        (
            "Dear grower,\nplease find attached.\n",
            "no rows with a date",
        ),
        ("2026-02-01 10:00,5\n2026-02-01 11:00,6\n", "no headings"),
        (
            "time,voltage\n2026-02-01 10:00,5\n2026-02-01 11:00,6\n",
            "no heading names",
        ),
    ] {
        let said = error(text);
        assert!(said.contains(word), "{said}");
    }
    let mut told = asked();
    told.columns.insert(1, Some(Quantity::Temperature));
    let reading = read_as("2026-02-01 10:00,5\n2026-02-01 11:00,6\n", &told);
    assert_eq!(values(&reading, Quantity::Temperature).len(), 2);
}

/// Rows without end, made as they are read.
struct Endless {
    row: Vec<u8>,
    at: usize,
    made: u64,
}

impl std::io::Read for Endless {
    fn read(&mut self, to: &mut [u8]) -> std::io::Result<usize> {
        for byte in to.iter_mut() {
            *byte = self.row[self.at % self.row.len()];
            self.at += 1;
        }
        self.made += to.len() as u64;
        Ok(to.len())
    }
}

#[test]
fn a_file_without_end_is_read_up_to_its_limits() {
    let endless = |row: &str| {
        std::io::BufReader::new(Endless {
            row: row.as_bytes().to_vec(),
            at: 0,
            made: 0,
        })
    };
    // Good rows: stopped by their number.
    let mut from = endless("2026-02-01 10:00,5\n");
    let told = Asked {
        columns: BTreeMap::from([(1, Some(Quantity::Temperature))]),
        ..asked()
    };
    let reading = read_within(&mut from, &told, &Progress::new(), 5_000, u64::MAX).unwrap();
    assert!(reading.preview.stopped_at_line.is_some());
    assert_eq!(reading.preview.rows_doubled, 4_999);
    // One line without end: stopped by its bytes.
    let mut head = endless("x");
    let joined = std::io::Read::chain(
        "time,temp °C\n2026-02-01 10:00,5\n2026-02-01 11:00,5\n".as_bytes(),
        &mut head,
    );
    let limited = std::io::Read::take(joined, 3_000_000);
    let reading = read(std::io::BufReader::new(limited), &asked(), &Progress::new()).unwrap();
    assert_eq!(reading.preview.rows_taken, 2);
    assert!(reading.preview.faults[0].what.contains("longer"));
    // A table that turns into rubbish is left.
    let mut text = "time,temp °C\n2026-02-01 10:00,5\n2026-02-01 11:00,5\n".to_owned();
    text.push_str(&"rubbish,line\n".repeat(10_000));
    let reading = read_text(&text);
    assert!(reading.preview.rows_read < 3_000);
    assert_eq!(reading.preview.faults.len(), MOST_FAULTS);
    let progress = Progress::new();
    progress.cancel();
    let long = "time,temp °C\n".to_owned() + &"2026-02-01 10:00,5\n".repeat(9_000);
    assert!(matches!(
        read(long.as_bytes(), &asked(), &progress),
        Err(RecordsError::Cancelled(_))
    ));
}

#[test]
fn hours_and_days_are_summed_up() {
    let reading = read_text(
        "time,temp °C\n2026-02-01 10:00,4\n2026-02-01 10:30,6\n2026-02-01 11:00,8\n2026-02-02 10:00,1\n",
    );
    let records = reading.records.unwrap();
    let hours = records.hourly(Quantity::Temperature);
    assert_eq!(hours[0], (t("2026-02-01T10:00:00"), 5.0, 2));
    let days = records.daily(Quantity::Temperature);
    assert_eq!((days[0].1, days[0].2, days[0].3), (4.0, 8.0, 3));
}

proptest::proptest! {
    #[test]
    fn no_text_whatever_makes_the_reader_fail(
        text in "[0-9:/.,;\t\n \"'TZ°CF%eEµ年+−-]{0,300}",
        head in 0..3_usize,
    ) {
        let head = ["", "time;temp;RH\n2026-02-01 10:00;5;80\n", "year,month,temp °C\n2026,2,5\n"][head];
        // Any answer is good; what is taken is finite and in order.
        if let Ok(reading) = read((head.to_owned() + &text).as_bytes(), &asked(), &Progress::new())
            && let Some(records) = reading.records
        {
            assert!(records.at.is_sorted_by(|a, b| a < b));
            assert!(records.columns.iter().all(|(q, v)| {
                let (least, most) = q.possible();
                v.len() == records.at.len()
                    && v.iter().filter(|v| v.is_finite()).all(|v| (least as f32..=most as f32).contains(v))
            }));
        }
    }
}
