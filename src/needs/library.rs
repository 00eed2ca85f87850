//! The library of kinds that comes with the program: one RON file for each, compiled in.

use std::sync::LazyLock;

use ron::{extensions::Extensions, options::Options};

use super::Kind;
use crate::base::{Id, Table};

macro_rules! kind {
    ($id:literal) => {
        (
            $id,
            include_str!(concat!("../../assets/needs/", $id, ".ron")),
        )
    };
}

/// Identifier and text of every kind, ascending. The identifier is the stem of the file's name.
const TEXTS: &[(&str, &str)] = &[
    kind!("abutilon"),
    kind!("adiantum"),
    kind!("agapanthus"),
    kind!("aloe"),
    kind!("aspidistra"),
    kind!("azalea-indica"),
    kind!("bay"),
    kind!("bougainvillea"),
    kind!("brugmansia"),
    kind!("calamondin"),
    kind!("camellia-japonica"),
    kind!("camellia-sasanqua"),
    kind!("cattleya"),
    kind!("clivia"),
    kind!("coelogyne-cristata"),
    kind!("crassula"),
    kind!("cyclamen"),
    kind!("cymbidium-miniature"),
    kind!("cymbidium-standard"),
    kind!("cymbidium-warm"),
    kind!("dendrobium-kingianum"),
    kind!("dendrobium-nobile"),
    kind!("dendrobium-phalaenopsis"),
    kind!("echeveria"),
    kind!("epiphyllum"),
    kind!("ficus-benjamina"),
    kind!("fuchsia"),
    kind!("gardenia"),
    kind!("hibiscus"),
    kind!("hippeastrum"),
    kind!("hydrangea"),
    kind!("jasminum-polyanthum"),
    kind!("kumquat"),
    kind!("laelia-anceps"),
    kind!("lemon"),
    kind!("masdevallia"),
    kind!("miltoniopsis"),
    kind!("monstera"),
    kind!("narcissus"),
    kind!("nephrolepis"),
    kind!("nerine"),
    kind!("odontoglossum"),
    kind!("oleander"),
    kind!("olive"),
    kind!("oncidium-intergeneric"),
    kind!("paphiopedilum-green"),
    kind!("paphiopedilum-mottled"),
    kind!("pelargonium-zonale"),
    kind!("phalaenopsis"),
    kind!("plumeria"),
    kind!("rosemary"),
    kind!("saintpaulia"),
    kind!("schlumbergera"),
    kind!("spathiphyllum"),
    kind!("strelitzia"),
    kind!("vanda"),
    kind!("zygopetalum"),
];

/// All kinds of the library by identifier. Parsed once.
#[must_use]
pub fn kinds() -> &'static Table<Kind> {
    // A file that cannot be read would be left out here; a test reads each one, so none is.
    static KINDS: LazyLock<Table<Kind>> = LazyLock::new(|| {
        TEXTS
            .iter()
            .filter_map(|(id, text)| Some((Id::new(id), read(text).ok()?)))
            .collect()
    });
    &KINDS
}

/// Reads one kind from its RON text, with `Some` implied as in the assets.
///
/// # Errors
/// What is wrong with the text, with line and column.
pub fn read(text: &str) -> Result<Kind, ron::error::SpannedError> {
    Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .from_str(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::needs::{Source, StageName, check};

    #[test]
    fn list_and_folder_agree_and_every_file_reads() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/needs");
        let mut files: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder is there")
            .map(|entry| entry.expect("can be read").path())
            .map(|path| {
                assert_eq!(path.extension().and_then(|e| e.to_str()), Some("ron"));
                path.file_stem().unwrap().to_string_lossy().into_owned()
            })
            .collect();
        files.sort();
        let listed: Vec<&str> = TEXTS.iter().map(|(id, _)| *id).collect();
        assert_eq!(files, listed);
        for (id, text) in TEXTS {
            assert!(Id::new(id).is_well_formed(), "{id}");
            let kind = read(text).unwrap_or_else(|e| panic!("{id}: {e}"));
            assert_eq!(check::faults(&kind), Vec::<String>::new(), "{id}");
            assert!(!text.contains("Published(\"\")"), "{id}: a source is empty");
        }
        assert_eq!(kinds().len(), TEXTS.len());
    }

    #[test]
    fn kinds_that_flower_set_swell_and_open() {
        for (id, kind) in kinds().iter() {
            let has = |stage| kind.stages.iter().any(|s| s.stage == stage);
            if has(StageName::Initiation) {
                assert!(has(StageName::Bloom), "{id} sets flowers that never open");
            }
            if has(StageName::Bud) {
                assert!(has(StageName::Bloom), "{id} has buds that never open");
            }
        }
    }

    #[test]
    fn damage_stands_in_a_growers_order() {
        for (id, kind) in kinds().iter() {
            let d = &kind.damage;
            // Buds are softer than leaves, and the pot comes in before either is hurt.
            assert!(d.bud_frost_c.value >= d.leaf_frost_c.value, "{id}");
            assert!(d.bring_in_c.value >= d.root_frost_c.value, "{id}");
            assert!(d.bring_in_c.value >= d.leaf_frost_c.value, "{id}");
        }
    }

    #[test]
    fn validate_figures_that_sources_state() {
        let kind = |id: &str| kinds().get(&Id::new(id)).unwrap();
        let cymbidium = kind("cymbidium-standard");
        // Cymbidium Society of America: leaves usually unhurt at 27 °F (-2.8 °C).
        assert!((cymbidium.damage.leaf_frost_c.value + 2.8).abs() < 0.05);
        // American Orchid Society: bring in at 40 °F (4.4 °C).
        assert!((cymbidium.damage.bring_in_c.value - 4.4).abs() < 0.5);
        // American Orchid Society: standards do not suit summer nights above 70 °F (21.1 °C).
        let setting = cymbidium
            .stages
            .iter()
            .find(|s| s.stage == StageName::Initiation)
            .unwrap();
        assert!((setting.needs.night_c.value.harm_high() - 21.1).abs() < 0.5);
        // Blanchard & Runkle 2006: spikes at 14 to 23 °C constant, none at 29 °C by day.
        let phalaenopsis = kind("phalaenopsis");
        let setting = phalaenopsis
            .stages
            .iter()
            .find(|s| s.stage == StageName::Initiation)
            .unwrap();
        assert!((setting.needs.day_c.value.harm_high() - 29.0).abs() < 0.5);
        assert!(setting.needs.day_c.value.ideal_high() >= 23.0);
        assert!(setting.needs.day_night_k.is_none());
        assert!(matches!(setting.needs.day_c.source, Source::Published(_)));
    }
}
