//! The map of `fouling.rs` as a picture and a table in `docs/`, and that neither has drifted from the model.
//!
//! `FRYTUB_UPDATE_DOCS=1 cargo test -p frytub --test main water_map` writes them anew.

use std::fs;
use std::path::PathBuf;

use csv::{Reader, Writer};
use frytub_reports::{Chart, HeatCell, HeatMap, HeatPanel, heat_map};
use frytub_sim::fry::tolerance::{FEEDS_FREELY_MG_L, Tolerance};

use super::fouling::{Cell, DRIPS_ML_H, FEEDS, FOOD_MG, MAP, study};

/// Figures may differ by this share, or by [`LEAST`]: other platforms have other mathematics.
const SHARE: f64 = 0.02;
/// Least difference of oxygen (mg/L), ammonia (mg NH3/L) and fry alive (of 100) that counts as drift.
const LEAST: [f64; 3] = [0.03, 0.001, 1.0];

const HEADS: [&str; 7] = [
    "feeds (per day)",
    "air stone (yes or no)",
    "drip (mL/h)",
    "food (dry mg per day)",
    "lowest oxygen (mg/L)",
    "highest un-ionised ammonia (mg NH3/L)",
    "alive on day 6 (fry of 100)",
];

fn in_docs(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("docs").join(name)
}

/// Oxygen below which fry begin to die, and ammonia above which they may, at likely values.
fn limits() -> (f64, f64) {
    let study = study(FEEDS[0], false, DRIPS_ML_H[0], FOOD_MG[0]);
    let tolerance = Tolerance::new(&study.fish.map(|_, range| range.likely()));
    let tub = &study.tubs[0];
    let ph = tub.water.as_ref().expect("water is reckoned with").ph.likely();
    (tolerance.harmful_oxygen_mg_l(), tolerance.harmless_mg_l(tub.numbers.temperature_c.likely(), ph))
}

fn as_csv(cells: &[Cell]) -> Vec<u8> {
    let mut writer = Writer::from_writer(Vec::new());
    writer.write_record(HEADS).expect("a head");
    for cell in cells {
        let row = [
            cell.feeds.to_string(),
            if cell.air { "yes" } else { "no" }.to_owned(),
            cell.drip_ml_h.to_string(),
            cell.food_mg.to_string(),
            format!("{:.2}", cell.oxygen_mg_l),
            format!("{:.4}", cell.ammonia_mg_l),
            format!("{:.0}", cell.alive),
        ];
        writer.write_record(row).expect("a row");
    }
    writer.into_inner().expect("a whole file")
}

/// What has drifted, in words; nothing when all is as it was.
fn drift(committed: &str, cells: &[Cell]) -> Vec<String> {
    let rows: Vec<Vec<String>> = Reader::from_reader(committed.as_bytes())
        .records()
        .map(|row| row.expect("a sound row").iter().map(str::to_owned).collect())
        .collect();
    if rows.len() != cells.len() {
        return vec![format!("{} rows for {} cells", rows.len(), cells.len())];
    }
    let mut told = Vec::new();
    for (row, cell) in rows.iter().zip(cells) {
        let keys = [cell.feeds.to_string(), if cell.air { "yes" } else { "no" }.to_owned(), cell.drip_ml_h.to_string()];
        if row[..3] != keys || row[3] != cell.food_mg.to_string() {
            told.push(format!("{row:?} stands where {cell:?} should"));
        }
        for (n, now) in [cell.oxygen_mg_l, cell.ammonia_mg_l, cell.alive].into_iter().enumerate() {
            let then: f64 = row[4 + n].parse().expect("a number");
            if (now - then).abs() > LEAST[n].max(SHARE * then.abs()) {
                told.push(format!("{}: {then} became {now:.4} ({cell:?})", HEADS[4 + n]));
            }
        }
    }
    told
}

/// A number of milligrams a litre that fits a cell.
fn short(value: f64) -> String {
    match value {
        v if v < 0.0005 => "0".to_owned(),
        v if v < 0.1 => format!("{v:.3}"),
        v if v < 1.0 => format!("{v:.2}"),
        v => format!("{v:.1}"),
    }
}

fn panel(what: &str, feeds: usize, air: bool, cell_of: &dyn Fn(&Cell) -> HeatCell) -> HeatPanel {
    let (kept, size) = (if air { "with air" } else { "still" }, if feeds == 2 { "two heavy" } else { "eleven small" });
    let row = |&drip: &f64| {
        MAP.iter().filter(|c| c.feeds == feeds && c.air == air && c.drip_ml_h == drip).map(cell_of).collect()
    };
    HeatPanel {
        head: format!("{what}: {kept}, {size} feeds"),
        columns: FOOD_MG.map(|mg| mg.to_string()).to_vec(),
        rows: DRIPS_ML_H.map(|drip| drip.to_string()).to_vec(),
        cells: DRIPS_ML_H.iter().map(row).collect(),
    }
}

/// The picture: oxygen above, ammonia below; two heavy feeds left, eleven small ones right.
fn picture() -> Chart {
    let (oxygen_limit, ammonia_limit) = limits();
    let oxygen = |cell: &Cell| HeatCell {
        text: if cell.oxygen_mg_l < 0.05 { "0".to_owned() } else { format!("{:.1}", cell.oxygen_mg_l) },
        shade: 1.0 - (cell.oxygen_mg_l - oxygen_limit) / (7.8 - oxygen_limit),
        is_harmful: cell.oxygen_mg_l < oxygen_limit,
    };
    let ammonia = |cell: &Cell| HeatCell {
        text: short(cell.ammonia_mg_l),
        shade: (cell.ammonia_mg_l / ammonia_limit).sqrt(),
        is_harmful: cell.ammonia_mg_l > ammonia_limit,
    };
    let mut panels = Vec::new();
    for air in [false, true] {
        panels.extend(FEEDS.map(|feeds| panel("Lowest oxygen", feeds, air, &oxygen)));
    }
    for air in [false, true] {
        panels.extend(FEEDS.map(|feeds| panel("Highest ammonia", feeds, air, &ammonia)));
    }
    // The least food that does harm in a still tub without a drip, fed twice.
    let first = |is: &dyn Fn(&Cell) -> bool, air: bool| {
        MAP.iter().filter(|c| c.feeds == 2 && c.air == air && c.drip_ml_h == 0.0).find(|c| is(c)).map(|c| c.food_mg)
    };
    let suffocates = |air| first(&|cell: &Cell| cell.oxygen_mg_l < oxygen_limit, air);
    let poisons = |air| first(&|cell: &Cell| cell.ammonia_mg_l > ammonia_limit, air);
    let harmless = if MAP.iter().any(|cell| ammonia(cell).is_harmful) { "" } else { "; ammonia kills nowhere" };
    let at = |mg: Option<f64>| mg.map_or_else(|| "at none of these".to_owned(), |mg| format!("from {mg} mg a day on"));
    let title = format!(
        "Fed twice without a drip, a still tub lacks oxygen {}, an aerated one {}{harmless}",
        at(suffocates(false)),
        at(suffocates(true))
    );
    let caption = format!(
        "Computed by frytub: 150 dwarf cichlid fry in 6 L at 28 °C and pH 7.6 for six days, a new sponge, no water change, \
         nothing siphoned; likely values, mean of two broods. mg/L; ammonia is un-ionised. Fry begin to die below {} mg/L of \
         oxygen and above {} mg/L of ammonia, and feed less below {FEEDS_FREELY_MG_L} mg/L of oxygen.",
        short(oxygen_limit),
        short(ammonia_limit)
    );
    let alt = format!(
        "Lowest oxygen and highest un-ionised ammonia against food a day and drip, with and without air, fed twice and eleven \
         times a day. {title}. Ammonia reaches its limit, fed twice without a drip, {} in the still tub and {} in the \
         aerated one. All figures stand in water-map.csv.",
        at(poisons(false)),
        at(poisons(true))
    );
    heat_map(&HeatMap {
        id: "water-map",
        title,
        caption,
        alt,
        columns: "food a day, dry mg".to_owned(),
        rows: "At the left of each row: drip, mL/h.".to_owned(),
        harmful: "fry begin to die".to_owned(),
        panels,
    })
}

#[test]
fn the_water_map_in_docs_is_what_the_model_says() {
    let map = in_docs("water-map.csv");
    if std::env::var_os("FRYTUB_UPDATE_DOCS").is_some() {
        let chart = picture();
        fs::write(&map, as_csv(&MAP)).expect("docs can be written");
        fs::write(in_docs("water-map.svg"), chart.file_svg().expect("a picture")).expect("docs can be written");
        fs::write(in_docs("water-map.png"), chart.file_png().expect("a picture")).expect("docs can be written");
    }
    let committed = fs::read_to_string(&map).expect("docs/water-map.csv");
    let told = drift(&committed, &MAP);
    assert!(
        told.is_empty(),
        "the water has changed; if that is wanted, draw the map anew with FRYTUB_UPDATE_DOCS=1:\n{}",
        told.join("\n")
    );
    let drawn = fs::read_to_string(in_docs("water-map.svg")).expect("docs/water-map.svg");
    assert!(drawn.contains("water-map.csv"), "the picture names its figures");
}

#[test]
fn a_drifted_map_is_seen() {
    let committed = String::from_utf8(as_csv(&MAP)).expect("text");
    assert!(drift(&committed, &MAP).is_empty());
    let mut changed = MAP.clone();
    changed[3].oxygen_mg_l += 0.3;
    changed[7].ammonia_mg_l = changed[7].ammonia_mg_l * 1.1 + 0.01;
    assert_eq!(drift(&committed, &changed).len(), 2);
    changed.pop();
    assert_eq!(drift(&committed, &changed).len(), 1);
}
