package door

import (
	"context"
	"fmt"
	"net/url"
	"time"

	"slabwright/internal/rim/store"
)

// startLasts is how long the link for the first owner may be used; the next start of the server makes a new one.
const startLasts = 24 * time.Hour

// StartLink makes the one-time link under which the first owner sets a name and a password; empty once there are people.
func StartLink(ctx context.Context, people *store.Store, public *url.URL, now time.Time) (string, error) {
	there, err := people.HasPeople(ctx)
	if there || err != nil {
		return "", err
	}
	token, hash := store.NewToken()
	if err := people.Invite(ctx, store.Actor{Who: "the server's start"}, "", hash, now.Add(startLasts)); err != nil {
		return "", err
	}
	return public.JoinPath("/start/" + token).String(), nil
}

// NewInvite makes a one-time link for a person, as a path of the server.
func NewInvite(ctx context.Context, people *store.Store, by store.Actor, person string, now time.Time) (path string, err error) {
	token, hash := store.NewToken()
	return "/start/" + token, people.Invite(ctx, by, person, hash, now.Add(inviteLasts))
}

// NewCrewLink makes a link that lets a crew in, as a path of the server, and the nine digits that do the same. Neither can be found out
// again: the store keeps hashes.
func NewCrewLink(ctx context.Context, people *store.Store, by store.Actor, l store.CrewLink) (made store.CrewLink, path, number string, err error) {
	pin := store.Digits(pinDigits)
	hash, err := Hash(ctx, pin)
	if err != nil {
		return l, "", "", err
	}
	token, tokenHash := store.NewToken()
	if l, err = people.AddCrewLink(ctx, by, l, tokenHash, hash); err != nil {
		return l, "", "", err
	}
	return l, "/crew/" + token, fmt.Sprintf("%s %s %s", l.Number, pin[:3], pin[3:]), nil
}
