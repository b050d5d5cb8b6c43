package listing

import (
	"strings"

	"wornwood/capture/record"
)

// The words by which a text may tell a fact. They are the trade's, from
// practice; no published source. A word that ends in * stands for every word
// that begins so.

// partWords are what a part is called.
var partWords = map[record.PartID][]string{
	record.FrontFinish: {"front*", "top*", "finish*", "face", "body", "lacquer*", "varnish*", "respray*", "refinish*"},
	record.BackFinish:  {"back*", "rear", "finish*", "body", "lacquer*", "varnish*", "respray*", "refinish*"},
	record.SidesFinish: {"side*", "edge*", "rim*", "finish*", "body"},
	record.Neck:        {"neck*", "heel"},
	record.Headstock:   {"headstock*", "head", "peghead*"},
	record.Fingerboard: {"fingerboard*", "fretboard*", "board"},
	record.Frets:       {"fret", "frets", "refret*", "fretwork"},
	record.Nut:         {"nut"},
	record.Binding:     {"binding*"},
	record.Bridge:      {"bridge*", "tailpiece*", "saddle*"},
	record.Tuners:      {"tuner*", "machine", "machines", "tuning", "keys", "peg", "pegs"},
	record.Guard:       {"guard*", "pickguard*", "scratchplate*", "cover", "covers"},
	record.Electronics: {"electronics", "electric*", "pickup*", "pot", "pots", "potentiometer*", "wiring", "rewired", "control*", "switch*", "jack*", "solder*"},
	record.Top:         {"top*", "soundboard", "front", "table"},
	record.Back:        {"back*"},
	record.Bracing:     {"bracing", "brace*"},
	record.Cone:        {"cone*"},
	record.Skin:        {"skin*", "vellum"},
	record.Rim:         {"rim*", "pot"},
	record.Resonator:   {"resonator*"},
	record.Hoop:        {"hoop*", "hook*"},
	record.Belly:       {"belly", "top*", "front", "table"},
	record.Ribs:        {"rib*", "side*"},
	record.Scroll:      {"scroll*", "pegbox*", "head"},
	record.Pegs:        {"peg*"},
	record.Edges:       {"edge*", "purfling"},
	record.BassBar:     {"bass bar", "sound post", "soundpost"},
}

// wordsOfPart are a part's words; its own name where the table has none.
func wordsOfPart(p record.PartID) []string {
	return append([]string{strings.Join(plainWords(string(p)), " ")}, partWords[p]...)
}

func plainWords(s string) []string {
	var out []string
	for _, t := range tokenize(s) {
		out = append(out, t.word)
	}
	return out
}

var (
	crackWords  = []string{"crack*", "split", "splits", "hairline*"}
	repairWords = []string{"repair*", "glue*", "reglue*", "cleat*", "mended", "fixed", "restor*", "filled", "plugged", "patched"}
	stuckWords  = []string{"seized", "stuck", "frozen", "does not turn", "does not move", "will not turn", "not turn", "jammed"}
	goneWords   = []string{"missing", "lost", "lacking", "lacks", "gone", "absent"}
	deadWords   = []string{"dead", "does not work", "not working", "silent", "no output", "no sound", "defective", "broken", "faulty"}
)

// kindWords are groups of words for a kind of mark: a text has to have one of
// each group. A kind that is not listed is told by its own words.
var kindWords = map[record.Kind][][]string{
	"open crack": {crackWords}, "closed crack": {crackWords}, "repaired crack": {crackWords}, "belly crack": {crackWords}, "back crack": {crackWords}, "rib crack": {crackWords},
	"sound-post crack": {crackWords, {"post*", "soundpost*", "sound post"}}, "bass-bar crack": {crackWords, {"bar", "bass bar"}},
	"open seam": {{"seam*", "joint open", "open joint"}}, "loose brace": {{"brace*", "bracing"}, {"loose", "detached", "unglued", "lifted", "come off", "repair*", "reglue*", "glue*"}}, "sunken top": {{"sunk*", "sink*", "dip*", "collaps*", "caved"}}, "bellied top": {{"bellied", "bellying", "bulg*"}},
	"lifting bridge": {{"bridge*"}, {"lift*", "loose", "coming up", "gap*"}}, "torn skin": {{"skin", "vellum"}, {"torn", "tear*", "split", "hole*"}}, "slack skin": {{"skin", "vellum"}, {"slack", "loose"}},
	"crushed cone": {{"cone"}, {"crush*", "dent*", "collaps*", "damage*"}}, "neck-joint gap": {{"neck*", "heel"}, {"gap*", "open", "loose", "reset"}},
	"headstock break": {{"break*", "broke*", "snapped", "crack*"}, {"headstock", "head", "peghead", "neck"}}, "warp": {{"warp*", "bow", "bowed", "bent"}}, "twist": {{"twist*"}},
	"seized truss rod": {{"truss rod", "rod"}, stuckWords}, "added hole": {{"hole*", "drill*"}}, "added routing": {{"rout*", "enlarged", "cavity cut"}},
	"broken nut": {{"nut"}, {"broke*", "crack*", "chip*", "split"}}, "seized hardware": {stuckWords}, "missing hardware": {goneWords},
	"dead control": {{"control*", "pot", "pots", "potentiometer*", "switch*", "volume", "tone"}, deadWords}, "dead pickup": {{"pickup*"}, deadWords},
	"worm": {{"worm*", "woodworm"}}, "button damage": {{"button"}, {"damage*", "broke*", "crack*", "break*", "repair*"}},
}

func wordsOfKind(k record.Kind) [][]string {
	if g, ok := kindWords[k]; ok {
		return g
	}
	var out [][]string
	for _, w := range plainWords(string(k)) {
		if len(w) > 2 {
			out = append(out, []string{w + "*"})
		}
	}
	return out
}

// changedWords tell that a part is not original, by its state.
var changedWords = map[record.State][]string{
	record.PeriodReplacement: {"replac*", "not original", "non original", "nonoriginal", "period", "chang*", "swapped", "newer", "later"},
	record.LaterReplacement:  {"replac*", "not original", "non original", "nonoriginal", "chang*", "swapped", "new", "newer", "later", "modern", "refret*"},
	record.Refinished:        {"refin*", "resprayed", "respray", "overspray*", "oversprayed", "repaint*", "relacquer*", "revarnish*", "not original", "non original", "stripped"},
	record.Altered:           {"alter*", "modif*", "chang*", "routed", "enlarged", "reshaped", "rewired", "not original", "non original"},
	record.Missing:           append([]string{"without", "no", "not original"}, goneWords...),
}

// notLooked tell that something was not looked at.
var notLooked = []string{"not opened", "not inspected", "not examined", "not checked", "not seen", "not photographed", "not tried", "not tested", "not judged", "not looked", "not used", "not removed",
	"not taken", "not measured", "not assessed", "not verified", "not known", "was not", "were not", "is not", "are not", "has not", "have not", "did not", "could not", "cannot", "unseen", "unopened", "uninspected",
	"unchecked", "untested", "untried", "unexamined", "unjudged", "unknown", "unverified", "without opening", "no position", "have needed", "nobody", "never", "unplayed", "not played", "not"}

// hedges are words by which a text says that something is not known but said,
// seen or allowed.
var hedges = []string{"said", "says", "saying", "state*", "claim*", "believed", "report*", "appear*", "apparently", "seem*", "look*", "alleged*", "according", "attributed", "no document", "support*",
	"unsupported", "contradict*", "allow*", "shows", "saw", "presumably", "probably", "possibly", "may", "might", "suggest*", "told", "undocumented", "not documented", "if", "evidence", "dated"}

// refuted are words by which a text says that something is not so.
var refuted = []string{"contradict*", "not so", "wrong", "untrue", "refut*", "disprov*", "does not hold", "do not hold", "not the case", "false", "cannot be", "incorrect", "not correct", "not true", "speaks against", "not original"}

// praise are words that no record carries: common practice of what sellers
// write, no published source.
var praise = strings.Fields(`mint pristine flawless immaculate perfect perfectly excellent stunning gorgeous beautiful beautifully amazing fantastic superb incredible wonderful legendary iconic rare rarely ultra-rare
	collectible collector's magnificent sublime magical exceptional outstanding unique finest killer monster awesome spectacular lovely great museum-quality museum unbelievable desirable`)
