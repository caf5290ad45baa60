package door

import (
	"context"
	"errors"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"

	"slabwright/internal/rim/store"
)

// What a session keeps.
const (
	keyPerson  = "person"
	keyLink    = "link" // of a crew
	keyName    = "name" // of somebody on a crew, as typed
	keyAddress = "address"
	keyAgent   = "agent"
)

// lasts is how long a person stays signed in at the most, however busy.
const lasts = 14 * 24 * time.Hour

func newSessions(people *store.Store, o Options) *scs.SessionManager {
	m := scs.New()
	m.Store, m.Lifetime = keeper{people}, lasts
	m.Cookie.Name, m.Cookie.HttpOnly, m.Cookie.SameSite, m.Cookie.Path = "slabwright", true, http.SameSiteLaxMode, "/"
	if o.Public != nil && o.Public.Scheme == "https" {
		m.Cookie.Name, m.Cookie.Secure = "__Host-slabwright", true
	}
	m.ErrorFunc = func(w http.ResponseWriter, r *http.Request, err error) {
		o.Log.Error("a session could not be read or kept", "error", err)
		http.Error(w, "The people of this server cannot be read just now. Try again.", http.StatusInternalServerError)
	}
	return m
}

// keeper keeps sessions in the store: whose they are stands beside what the session manager wrote, so that they can be listed and
// ended. Of a token it keeps the hash only.
type keeper struct{ people *store.Store }

func (k keeper) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	one, err := k.people.Session(ctx, store.TokenHash(token))
	if errors.Is(err, store.ErrAbsent) {
		return nil, false, nil
	}
	return one.Data, err == nil, err
}

func (k keeper) CommitCtx(ctx context.Context, token string, data []byte, ends time.Time) error {
	_, values, err := scs.GobCodec{}.Decode(data)
	if err != nil {
		return err
	}
	text := func(key string) string { s, _ := values[key].(string); return s }
	if text(keyPerson) == "" && text(keyLink) == "" {
		return nil // nobody: nothing to remember
	}
	return k.people.KeepSession(ctx, store.Session{ID: store.TokenHash(token), Person: text(keyPerson), Link: text(keyLink), Data: data, Ends: ends, Address: text(keyAddress), Agent: text(keyAgent)})
}

func (k keeper) DeleteCtx(ctx context.Context, token string) error {
	return k.people.EndSession(ctx, store.TokenHash(token))
}

// sessionID is what the store calls the session of a request.
func (d *Door) sessionID(ctx context.Context) string {
	return store.TokenHash(d.sessions.Token(ctx))
}

// begin signs somebody in on this device, under a new token: one that was known before is worth nothing.
func (d *Door) begin(r *http.Request, ends time.Time, values map[string]string) error {
	ctx := r.Context()
	if err := d.sessions.RenewToken(ctx); err != nil {
		return err
	}
	for _, key := range d.sessions.Keys(ctx) {
		d.sessions.Remove(ctx, key)
	}
	for key, value := range values {
		d.sessions.Put(ctx, key, value)
	}
	d.sessions.Put(ctx, keyAddress, d.addressOf(r))
	d.sessions.Put(ctx, keyAgent, shortened(r.UserAgent(), 200))
	d.sessions.SetDeadline(ctx, ends)
	return nil
}

// shortened cuts a text from outside to what is kept of it.
func shortened(text string, most int) string {
	runes := []rune(text)
	return string(runes[:min(len(runes), most)])
}

// The manager asks with a context where it can; these are for the rest of its interface.

func (k keeper) Find(token string) ([]byte, bool, error) {
	return k.FindCtx(context.Background(), token)
}

func (k keeper) Commit(token string, data []byte, ends time.Time) error {
	return k.CommitCtx(context.Background(), token, data, ends)
}

func (k keeper) Delete(token string) error { return k.DeleteCtx(context.Background(), token) }
