package door

import (
	"context"
	_ "embed"
	"errors"
	"strings"
	"sync"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/text/unicode/norm"
)

// hashing is how much work a hash is: 19 MiB, 2 passes, 1 lane.
// Source: OWASP Password Storage Cheat Sheet, the least it recommends for Argon2id.
var hashing = &argon2id.Params{Memory: 19 << 10, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// hashesAtOnce is how many hashes are worked out at the same time: more would let a crowd at the door take the machine's memory.
const hashesAtOnce = 2

// hashPatience is how long somebody waits for a turn.
const hashPatience = 8 * time.Second

var turns = make(chan struct{}, hashesAtOnce)

var errBusy = errors.New("too many people sign in at this moment")

func inTurn(ctx context.Context, work func() error) error {
	wait, cancel := context.WithTimeout(ctx, hashPatience)
	defer cancel()
	select {
	case turns <- struct{}{}:
		defer func() { <-turns }()
		return work()
	case <-wait.Done():
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return errBusy
	}
}

// Hash is what is kept of a password or a PIN.
func Hash(ctx context.Context, secret string) (hash string, err error) {
	err = inTurn(ctx, func() error {
		hash, err = argon2id.CreateHash(norm.NFKC.String(secret), hashing)
		return err
	})
	return hash, err
}

// nobodys is a hash that no secret has. What is typed for a name nobody has is held against it, so that the answer takes as long.
var nobodys = sync.OnceValue(func() string {
	hash, err := argon2id.CreateHash(strings.Repeat("\x00", 32), hashing)
	if err != nil {
		panic("door: " + err.Error()) // the system's source of chance never fails
	}
	return hash
})

// right says whether a secret is the one a hash was made of, and whether the hash should be made anew because more work is asked of
// hashes by now. An empty hash is nobody's.
func right(ctx context.Context, secret, hash string) (ok, weak bool, err error) {
	known := hash != ""
	if !known {
		hash = nobodys()
	}
	err = inTurn(ctx, func() error {
		match, params, err := argon2id.CheckHash(norm.NFKC.String(secret), hash)
		ok = match && known
		weak = ok && (params.Memory < hashing.Memory || params.Iterations < hashing.Iterations)
		return err
	})
	return ok, weak, err
}

// How long a password may be, in characters.
const (
	leastPassword = 12
	mostPassword  = 256
)

//go:embed words.txt
var commonText string

// common are the words that the passwords tried first are made of.
var common = sync.OnceValue(func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(commonText) {
		out[w] = true
	}
	return out
})

// PasswordFault says in a sentence why a password will not do; empty when it does. Length counts, not which signs it is made of; what
// everybody tries first is refused.
// Source: NIST SP 800-63B (2017) 5.1.1.2: no rules of composition, a list of what is commonly used, paste allowed; its least length is
// 8, ours more.
func PasswordFault(password string, about ...string) string {
	password = norm.NFKC.String(password)
	n := utf8.RuneCountInString(password)
	switch {
	case !utf8.ValidString(password):
		return "The password holds signs that cannot be read."
	case n < leastPassword:
		return "A password has 12 signs or more. Three or four words that do not belong together are easy to keep in mind."
	case n > mostPassword:
		return "A password has 256 signs at the most."
	case guessable(password, about):
		return "This password is one of the first that anybody would try. Take three or four words that do not belong together."
	}
	return ""
}

// looks are the signs that people put in place of letters.
var looks = strings.NewReplacer("0", "o", "1", "l", "3", "e", "4", "a", "5", "s", "7", "t", "@", "a", "$", "s", "!", "i")

// guessable says whether a password is made of nothing but common words, the person's own names, rows of keys and few signs.
func guessable(password string, about []string) bool {
	low := strings.ToLower(password)
	different := map[rune]bool{}
	for _, r := range low {
		different[r] = true
	}
	if len(different) < 5 || inRow(low) {
		return true
	}
	words := common()
	if len(about) > 0 {
		mine := map[string]bool{}
		for w := range words {
			mine[w] = true
		}
		for _, a := range about {
			for _, w := range strings.FieldsFunc(strings.ToLower(a), func(r rune) bool { return !unicode.IsLetter(r) }) {
				if len(w) > 2 {
					mine[w] = true
				}
			}
		}
		words = mine
	}
	ending := strings.TrimRightFunc(low, func(r rune) bool { return !unicode.IsLetter(r) }) // password1234
	for _, text := range []string{low, looks.Replace(low), looks.Replace(ending)} {
		if madeOf(once(lettersOf(text)), words) {
			return true
		}
	}
	return false
}

// once is what a text repeats, or the text where it repeats nothing.
func once(text string) string {
	for n := 1; n <= len(text)/2; n++ {
		if len(text)%n == 0 && strings.Repeat(text[:n], len(text)/n) == text {
			return text[:n]
		}
	}
	return text
}

func lettersOf(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) {
			return r
		}
		return -1
	}, text)
}

// madeOf says whether a text is nothing but words of the list, at most three.
func madeOf(text string, words map[string]bool) bool {
	const most = 3
	least := make([]int, len(text)+1) // how few words make the text up to here; 0: none do
	for end := 1; end <= len(text); end++ {
		for start := range end {
			if (start == 0 || least[start] > 0) && words[text[start:end]] && (least[end] == 0 || least[start]+1 < least[end]) {
				least[end] = least[start] + 1
			}
		}
	}
	return text == "" || least[len(text)] > 0 && least[len(text)] <= most
}

// rows are keys beside each other, and signs that follow each other.
var rows = []string{"1234567890123456789012345678901234567890", "abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", "qwertyuiopasdfghjklzxcvbnmqwertyuiop", "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p", "1q2w3e4r5t6y7u8i9o0p", "qazwsxedcrfvtgbyhnujmikolp"}

func inRow(text string) bool {
	back := []rune(text)
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	for _, row := range rows {
		if strings.Contains(row, text) || strings.Contains(row, string(back)) {
			return true
		}
	}
	return false
}
