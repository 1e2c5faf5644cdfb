# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Songs of our own chords, played by Musical MIDI Accompaniment (Debian's mma) in the grooves of its library."""
import glob
import os
import random
import subprocess
from dataclasses import dataclass

LIBRARY = "/usr/share/mma/lib"
SKIPPED = ("yamaha", "zoom")  # folders whose files repeat names of the others with other metres

# style: (file, groove, slowest and fastest tempo of the beat, quarters a beat). Tempi: what the file's own note asks for,
# else common practice for the style, no source; dances whose beat is told both at one rate and at its half are left out.
# Quarters a beat: 2 where the library's note says it wrote a 2/4 style in 4/4 ("double the tempo"); 3, 2 and 1.5 where the
# file writes the dotted quarter of 6/8 in 3, 2 or 1.5 of its own quarters.
STYLES = {
    "rock": [("60srock", "60sRock", 112, 150, 1), ("8beat", "8Beat", 92, 136, 1), ("basicrock", "BasicRock", 100, 150, 1),
             ("bubblerock", "BubbleRock", 112, 146, 1), ("folkrock", "FolkRock", 92, 128, 1),
             ("softrock", "SoftRock", 84, 116, 1), ("rock1", "Rock1", 108, 150, 1), ("poprock1", "PopRock1", 96, 140, 1),
             ("poprock2", "PopRock2", 96, 140, 1), ("heavymetal", "HeavyMetal", 112, 168, 1),
             ("digitalrock", "DigitalRock", 112, 140, 1), ("metal1", "metal1A", 110, 170, 1),
             ("highfive", "highfiveA", 100, 140, 1), ("twist", "Twist", 140, 172, 1), ("60spop", "60sPop", 108, 140, 1),
             ("80spop", "80sPop", 104, 132, 1), ("8beatpop1", "8BeatPop1", 90, 130, 1), ("8beat2", "8Beat2", 90, 130, 1)],
    "ballad": [("ballad", "Ballad", 60, 84, 1), ("rockballad", "RockBallad", 62, 84, 1), ("popballad", "PopBallad", 60, 84, 1),
               ("pianoballad", "PianoBallad", 58, 80, 1), ("folkballad", "FolkBallad", 66, 96, 1),
               ("rb-ballad", "R&B-Ballad", 60, 80, 1), ("stringballad", "StringBallad", 58, 80, 1),
               ("16beatballad1", "16BeatBallad1", 60, 84, 1), ("8beatballad2", "8BeatBallad2", 62, 86, 1),
               ("oldieballad", "OldieBallad", 60, 84, 1), ("serenade", "Serenade", 66, 92, 1)],
    "swing": [("swing", "Swing", 116, 190, 1), ("easyswing", "EasySwing", 100, 140, 1), ("fastswing", "FastSwing", 100, 130, 2),
              ("slowjazz", "SlowJazz", 60, 90, 1), ("jazzguitar", "JazzGuitar", 110, 170, 1),
              ("modernjazz", "ModernJazz", 110, 170, 1), ("bebop", "Bebop", 120, 150, 1), ("bigband", "BigBand", 130, 180, 1),
              ("nitejazz", "NiteJazz", 56, 76, 1), ("mellowjazz", "MellowJazz", 56, 72, 1),
              ("jazzcombo", "JazzCombo", 120, 180, 1), ("evansish", "Evansish", 100, 140, 1),
              ("middlebigband", "MiddleBigBand", 76, 96, 1), ("dixie", "Dixie", 92, 112, 2), ("foxtrot", "Foxtrot", 112, 140, 1),
              ("ragtime", "RagTime", 82, 104, 2), ("jive", "Jive", 150, 180, 1)],
    "shuffle": [("blues", "Blues", 90, 130, 1), ("fastblues", "FastBlues", 140, 180, 1), ("slowblues", "SlowBlues", 56, 80, 1),
                ("shuffleboggie", "ShuffleBoggie", 120, 160, 1), ("boggiewoggie", "BoggieWoggie", 140, 170, 1),
                ("countryblues", "CountryBlues", 90, 130, 1), ("popshuffle1", "PopShuffle1", 100, 140, 1),
                ("16shuffle1", "16Shuffle1", 80, 108, 1), ("happyshuffle", "HappyshuffleA", 110, 140, 1),
                ("shufflerock", "ShuffleRock", 108, 140, 1), ("shuffleboogie", "ShuffleBoogie", 120, 160, 1)],
    "three": [("waltz", "Waltz", 96, 150, 1), ("fastwaltz", "FastWaltz", 160, 200, 1), ("jazzwaltz", "JazzWaltz", 110, 170, 1),
              ("countrywaltz", "CountryWaltz", 90, 130, 1), ("frenchwaltz", "FrenchWaltz", 130, 180, 1),
              ("latinwaltz", "LatinWaltz", 110, 150, 1), ("rockwaltz", "RockWaltz", 90, 130, 1),
              ("fastjazzwaltz", "FastJazzWaltz", 160, 200, 1), ("vienesewaltz", "VieneseWaltz", 150, 180, 1),
              ("popwaltz", "PopWaltz", 90, 130, 1), ("jazz-54", "Jazz54", 120, 170, 1)],
    "compound": [("68swing", "68Swing", 90, 124, 3), ("68march", "68March", 96, 120, 1), ("ballad68", "Ballad68", 46, 70, 2),
                 ("blues68", "Blues68", 50, 76, 3), ("arpeggio68", "Arpeggio68", 50, 76, 3), ("rock-128", "Rock128", 60, 100, 1),
                 ("ballad128", "Ballad128", 50, 76, 1), ("blues128", "Blues128", 54, 84, 1),
                 ("afro-cuban", "Afro-Cuban", 84, 116, 1.5)],
    "latin": [("bossanova", "BossaNova", 116, 150, 1), ("samba", "Samba", 88, 116, 2), ("chacha", "ChaCha", 108, 126, 1),
              ("rhumba", "Rhumba", 100, 130, 1), ("beguine", "Beguine", 100, 124, 1), ("lighttango", "LightTango", 108, 128, 1),
              ("tango", "Tango", 110, 130, 1), ("slowbolero", "SlowBolero", 72, 96, 1), ("bolero", "Bolero", 84, 108, 1),
              ("kbossa", "kbossaA", 115, 130, 1), ("latinfusion", "LatinFusion", 100, 130, 1),
              ("merengue", "Merengue", 110, 140, 2), ("jazzrhumba", "JazzRhumba", 100, 130, 1)],
    "funk": [("bvfunk", "BVFunk", 92, 116, 1), ("Kfunk1", "Kfunk1A", 100, 125, 1), ("funk1", "Funk1", 92, 116, 1),
             ("funk2", "Funk2", 92, 116, 1), ("dsoul", "DSoul", 90, 116, 1), ("rb", "R&B", 84, 112, 1),
             ("soul", "Soul", 90, 120, 1), ("60ssoul", "60sSoul", 100, 130, 1), ("jazzrock", "JazzRock", 100, 132, 1),
             ("lfusion", "LFusion", 100, 130, 1), ("8beatmotown", "8beatmotownA", 110, 140, 1), ("boneym", "BoneyM", 112, 128, 1),
             ("discosoul", "DiscoSoul", 108, 124, 1), ("soulpop", "SoulPop", 96, 120, 1)],
    "dance": [("trance", "Trance", 130, 142, 1), ("house", "House", 118, 128, 1), ("techno", "Techno", 128, 144, 1),
              ("rave", "Rave", 136, 156, 1), ("dance1", "Dance1", 118, 132, 1), ("dance2", "Dance2", 118, 132, 1),
              ("dancepop2", "DancePop2", 112, 130, 1), ("8beatdance", "8BeatDance", 112, 130, 1),
              ("electricpop", "ElectricPop", 108, 132, 1), ("hiphop", "HipHop", 84, 98, 1), ("hip-hop", "Hip-Hop", 84, 100, 1),
              ("triphop", "TripHop", 74, 92, 1), ("16beat1", "16Beat1", 84, 112, 1), ("16beat3", "16Beat3", 84, 112, 1),
              ("latinhouse", "LatinHouse", 118, 128, 1)],
    "country": [("bluegrass", "BlueGrass", 108, 140, 1), ("countryswing", "CountrySwing", 110, 150, 1),
                ("slowcountry", "SlowCountry", 72, 100, 1), ("hillcountry", "HillCountry", 100, 140, 1),
                ("folk", "Folk", 90, 130, 1), ("bluefolk", "BlueFolk", 90, 130, 1), ("westernswing", "WesternSwing", 120, 170, 1),
                ("2beatp", "2beatpA", 110, 130, 1), ("kwestballad", "kwestballadA", 65, 100, 1)],
    "march": [("march", "March", 104, 120, 2), ("bwmarch", "BWMarch", 112, 124, 2), ("polka", "Polka", 104, 126, 2),
              ("quickstep", "QuickStep", 94, 104, 2), ("dixiemarch", "DixieMarch", 100, 116, 2),
              ("polkafox", "PolkaFox", 108, 130, 1), ("poppolka", "PopPolka", 110, 132, 1)],
}
DRAWN = {"rock": 10, "ballad": 7, "swing": 10, "shuffle": 7, "three": 7, "compound": 6, "latin": 9, "funk": 8, "dance": 8,
         "country": 5, "march": 4}
DRAWN_DRUMS = {"rock": 4, "ballad": 1, "swing": 3, "shuffle": 3, "three": 2, "compound": 2, "latin": 4, "funk": 3, "dance": 3,
               "country": 1, "march": 1}
# Files whose grooves have no drums, or next to none.
NO_DRUMS = {"folkballad", "stringballad", "serenade", "jazzguitar", "ragtime", "boggiewoggie", "arpeggio68", "folk", "2beatp"}
MAJOR = ["C", "Dm", "Em", "F", "G", "Am"]
MINOR = ["Am", "G", "F", "Dm", "E7", "C"]
SEVENTHS = ["CM7", "Dm7", "Em7", "FM7", "G7", "Am7", "Bm7b5", "A7"]


@dataclass
class Groove:
    style: str
    file: str
    groove: str
    bpm: float  # of the beat
    beat_quarters: float


def draw(seed, drawn, without=()):
    """A seeded choice, so many of each style, each at a seeded tempo."""
    out = []
    for style, count in drawn.items():
        rng = random.Random(f"{seed}/{style}/{sorted(drawn.items())}")
        for file, groove, slow, fast, quarters in rng.sample([g for g in STYLES[style] if g[0] not in without], count):
            bpm = round(rng.uniform(slow, fast) * quarters) / quarters  # mma plays whole quarters a minute
            out.append(Groove(style, file, groove, bpm, quarters))
    return out


def _library_file(name):
    found = [p for p in sorted(glob.glob(f"{LIBRARY}/*/{name}.mma")) if p.split("/")[-2] not in SKIPPED]
    if not found:
        raise SystemExit(f"{LIBRARY}: no groove file {name}; the bench knows mma 21.09")
    return next((p for p in found if "/stdlib/" in p), found[0])


def _text(path):
    with open(path, encoding="latin1") as file:
        return file.read()


def bar_quarters(groove):
    """What the library's own `Time` line says."""
    for line in _text(_library_file(groove.file)).splitlines():
        words = line.split()
        if len(words) > 1 and words[0].lower() == "time" and words[1].isdigit():
            return int(words[1])
    return 4  # what mma takes without such a line


def song_text(groove, seconds, seed):
    """Eight bars of one harmony, eight of another, in turn; the library's fill and its fuller variant where it has them."""
    rng = random.Random(f"{seed}/{groove.file}/{groove.bpm}")
    library = _library_file(groove.file)
    path = f"{library.split('/')[-2]}/{groove.file}:"
    # Names are told apart without regard to case, and a line may define one under the file's own mixed case.
    known = {words[1].lower(): words[1] for words in map(str.split, _text(library).splitlines())
             if len(words) > 1 and words[0].lower() == "defgroove"}
    plain = path + known[groove.groove.lower()]
    fuller, fill = (path + known[n] if (n := groove.groove.lower() + s) in known else None for s in ("sus", "fill"))
    chords = SEVENTHS if groove.style in ("swing", "latin", "funk", "three") else rng.choice((MAJOR, MINOR))
    parts = [[chords[0]] + rng.choices(chords, k=6) + [chords[4]] for _ in range(2)]
    bars = max(8, int(seconds * groove.bpm * groove.beat_quarters / 60 / bar_quarters(groove)))
    lines = [f"RndSeed {rng.randint(1, 9999)}", f"Tempo {groove.bpm * groove.beat_quarters:g}"]
    for bar in range(bars):
        second = bar // 8 % 2 == 1
        if bar % 8 == 0:
            lines.append(f"Groove {fuller if second and fuller else plain}")
        if bar % 8 == 7 and fill:
            lines.append(f"Groove {fill}")
        lines.append(f"{bar + 1} {parts[second][bar % 8]}")
    return "\n".join(lines) + "\n"


def midi(groove, stem, seconds, seed):
    """The song as Standard MIDI File bytes."""
    with open(stem + ".mma", "w", encoding="ascii") as file:
        file.write(song_text(groove, seconds, seed))
    told = subprocess.run(["mma", "-f", stem + ".mid", stem + ".mma"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          encoding="latin1", check=False)
    if told.returncode or not os.path.exists(stem + ".mid"):
        raise SystemExit(f"mma {stem}.mma: {told.stdout}")
    with open(stem + ".mid", "rb") as file:
        return file.read()
