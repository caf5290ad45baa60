package sources

import (
	"regexp"
	"testing"
)

func TestEverySourceStandsOnceAndSaysWhatItIs(t *testing.T) {
	slug := regexp.MustCompile(`^[a-z0-9][a-z0-9.-]*$`)
	seen := map[Key]bool{}
	for _, s := range All() {
		if seen[s.Key] {
			t.Errorf("%s stands twice", s.Key)
		}
		seen[s.Key] = true
		if !slug.MatchString(string(s.Key)) {
			t.Errorf("%q is not a key: lower case, digits, dashes", s.Key)
		}
		if len(s.Title) < 8 || s.Standing == "" {
			t.Errorf("%s says too little: %q, %q", s.Key, s.Title, s.Standing)
		}
	}
}
