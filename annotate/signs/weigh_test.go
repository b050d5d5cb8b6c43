package signs

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// answered is a part with the answers "ID=answer".
func answered(st record.State, answers ...string) record.Part {
	p := record.Part{ID: record.FrontFinish, State: st}
	for _, a := range answers {
		id, answer, _ := strings.Cut(a, "=")
		p.Signs = append(p.Signs, record.Sign{ID: id, Answer: answer})
	}
	return p
}

func texts(list []Sentence) string {
	var out []string
	for _, s := range list {
		mark := ""
		if s.Against {
			mark = "! "
		}
		out = append(out, mark+s.Text)
	}
	return strings.Join(out, "\n")
}

func TestWeigh(t *testing.T) {
	list := For("solid-body double-cutaway", record.FrontFinish)
	all := func(k Speaks, answer string) []string {
		var out []string
		for _, s := range list {
			if s.Speaks == k {
				out = append(out, s.ID+"="+answer)
			}
		}
		return out
	}
	for _, c := range []struct {
		name string
		part record.Part
		want string
	}{
		{"nothing answered", answered(record.Original), ""},
		{"contradiction", answered(record.Original, "finish-uv=seen", "finish-ghosts=seen", "finish-sanding=not seen"),
			"! 2 of 7 signs of a refinish were seen: ghost lines of old hardware under the coat; fluoresces unlike the protected finish; stated as original"},
		{"it goes together", answered(record.Refinished, "finish-uv=seen"),
			"1 of 7 signs of a refinish was seen: fluoresces unlike the protected finish"},
		{"a repair is no contradiction", answered(record.Original, "finish-filler=seen"),
			"1 of 1 sign of a repair was seen: filler or filled chips glint under a lamp"},
		{"nobody judged", answered("", "finish-uv=seen"),
			"1 of 7 signs of a refinish was seen: fluoresces unlike the protected finish; not judged yet"},
		{"none seen", answered(record.Original, "finish-uv=not seen", "finish-ghosts=not seen"), "2 signs were looked for, none seen"},
		{"refinished without a sign", answered(record.Refinished, all(Refinish, "not seen")...),
			"! Stated as refinished; none of the 7 signs of a refinish was seen"},
		{"not opened is not none", answered(record.Refinished, append(all(Refinish, "not seen")[1:], all(Refinish, "not opened")[0])...),
			"6 signs were looked for, none seen\n1 sign was not looked for: not opened"},
		{"both", answered(record.Refinished, "finish-uv=seen", "finish-holder=seen"),
			"1 of 7 signs of a refinish was seen: fluoresces unlike the protected finish\n" +
				"! 1 of 2 signs of an original part was seen: bare spots of the first spraying undisturbed; stated as refinished\n" +
				"Signs of an original part and of a refinish were both seen: one of them has another cause, or only a portion was changed"},
		{"unknown sign", answered(record.Original, "gone=seen"), "1 answer belongs to a sign that this list does not have; kept, not weighed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := texts(Weigh(c.part, list)); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
	if got := Against(answered(record.Original, "finish-uv=seen", "finish-ghosts=seen", "finish-sanding=seen"), list); len(got) != 1 || got[0] != "stated original; 3 signs of a refinish were seen" {
		t.Errorf("short: %q", got)
	}
}

// Whatever was answered: the sentences' counts are those of the answers, none
// names a sign that was not seen, a sign that contradicts the state is always
// pointed out, and an answer more never takes a contradiction away that was
// seen.
func TestWeighIsConsistent(t *testing.T) {
	classes := outline.Classes()
	rapid.Check(t, func(t *rapid.T) {
		class := rapid.SampledFrom(classes).Draw(t, "class")
		shares, err := grade.Default().Shares(class)
		if err != nil {
			t.Fatal(err)
		}
		part := rapid.SampledFrom(shares).Draw(t, "part").Part
		list := For(class, part)
		p := record.Part{ID: part, State: rapid.SampledFrom(append(record.States(), "")).Draw(t, "state")}
		for _, s := range list {
			if a := rapid.SampledFrom(append(record.SignAnswers(), "")).Draw(t, s.ID); a != "" {
				p.Signs = append(p.Signs, record.Sign{ID: s.ID, Answer: a})
			}
		}
		sentences := Weigh(p, list)
		if (len(sentences) == 0) != (len(p.Signs) == 0) {
			t.Fatalf("%d answers, %d sentences", len(p.Signs), len(sentences))
		}
		joined := texts(sentences)
		for _, tally := range Count(p, list) {
			if len(tally.Seen)+tally.NotSeen+tally.NotOpened > tally.Asked {
				t.Fatalf("%+v counts more answers than questions", tally)
			}
			want := fmt.Sprintf("%d of %s of %s ", len(tally.Seen), count(tally.Asked, "sign", "signs"), tally.Kind.Phrase())
			if got := strings.Contains(joined, want); got != (len(tally.Seen) > 0) {
				t.Fatalf("%q in %q: %v, seen %d", want, joined, got, len(tally.Seen))
			}
			told := slices.ContainsFunc(sentences, func(s Sentence) bool { return s.Against && strings.HasPrefix(s.Text, want) })
			if told != (len(tally.Seen) > 0 && contradicts(p.State, tally.Kind)) {
				t.Fatalf("stated %q, %d signs of %s seen, told %v", p.State, len(tally.Seen), tally.Kind, told)
			}
			for _, s := range list {
				named := strings.Contains(joined, lower(s.Ask))
				seen := Answer(p, s.ID) == "seen"
				if named != seen {
					t.Fatalf("%q is named %v, seen %v", s.Ask, named, seen)
				}
			}
		}
	})
}
