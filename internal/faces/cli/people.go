package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"slabwright/internal/faces/door"
	"slabwright/internal/rim/intake"
	"slabwright/internal/rim/store"
)

type peopleCommand struct {
	List    peopleList    `cmd:"" default:"1" help:"List who signs in."`
	Add     peopleAdd     `cmd:"" help:"Add a person: with a password, or with a one-time link that sets one."`
	Role    peopleRole    `cmd:"" help:"Give a person another role."`
	Disable peopleDisable `cmd:"" help:"Shut a person out, at once on every device; --undo lets in again."`
	Link    peopleLink    `cmd:"" help:"Make a one-time link with which a person sets a new password."`
	Crew    peopleCrew    `cmd:"" help:"Make a link and a number that let a crew see its job, without accounts."`
}

// Help shows how it is used.
func (peopleCommand) Help() string {
	return `Examples:
  slabwright people add Dana --sign-in dana@slabs.example --role owner      asks for the password, unseen
  slabwright people add Dana --sign-in dana --role owner --password-file -  reads it from standard input
  slabwright people add Luis --sign-in luis --role foreman --by-link --public https://slabs.example
  slabwright people list
  slabwright people role luis office
  slabwright people disable luis
  slabwright people crew "Crew 2" --until 2027-06-19 --public https://slabs.example
Roles: owner sees and changes everything; office everything but people; foreman everything of jobs but money. As soon as
there are people, slabwright serve asks who comes. A password is never given as an option: others could read it.`
}

// Staff is what every command about people takes.
type Staff struct {
	Kept
	Public string `help:"How people reach the server, for links: https://slabs.example." placeholder:"URL"`
}

// actor is who a command is run by, in the list of who did what.
var actor = store.Actor{Who: "command line"}

// with opens the jobs and runs work on them.
func (c Staff) with(s *session, work func(context.Context, *store.Store) error) error {
	where, err := c.where(s)
	if err != nil {
		return err
	}
	ctx := context.Background()
	jobs, err := store.Open(ctx, where, s.Now)
	if err != nil {
		return exit{code: Failed, err: err}
	}
	return errors.Join(work(ctx, jobs), jobs.Close())
}

// link is a path of the server as people open it.
func (c Staff) link(path string) (string, error) {
	if c.Public == "" {
		return "https://…" + path, nil
	}
	base, err := url.Parse(c.Public)
	if err != nil || base.Host == "" || base.Scheme != "https" && base.Scheme != "http" {
		return "", exit{code: WrongUsage, err: fmt.Errorf("`%s` is no address of a server", c.Public), hint: "Type it like --public https://slabs.example."}
	}
	return base.JoinPath(path).String(), nil
}

// called finds a person by the name to sign in with.
func called(ctx context.Context, jobs *store.Store, signIn string) (store.Person, error) {
	p, _, err := jobs.PersonCalled(ctx, signIn)
	if errors.Is(err, store.ErrAbsent) {
		return p, exit{code: NotFound, err: fmt.Errorf("nobody signs in as `%s`", signIn), hint: "See who does: slabwright people list"}
	}
	return p, err
}

type peopleList struct{ Staff }

// Run lists everybody.
func (c peopleList) Run(s *session) error {
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		all, err := jobs.People(ctx)
		if err != nil || s.JSON {
			return errors.Join(err, s.onlyJSON(map[string]any{"people": all}))
		}
		if s.Plain {
			for _, p := range all {
				s.fields(p.SignIn, string(p.Role), stateOf(p), p.Name)
			}
			return nil
		}
		if len(all) == 0 {
			fmt.Fprintln(s.Out, "Nobody signs in: the page is open to whoever is at this machine.")
			return nil
		}
		w := tabwriter.NewWriter(s.Out, 0, 0, 2, ' ', 0)
		for _, p := range all {
			fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", p.Name, p.SignIn, p.Role, stateOf(p))
		}
		return w.Flush()
	})
}

func (s *session) onlyJSON(v any) error {
	if !s.JSON {
		return nil
	}
	return s.printJSON(v)
}

func stateOf(p store.Person) string {
	switch {
	case p.Disabled:
		return "shut out"
	case p.Waiting:
		return "no password yet"
	}
	return "signs in"
}

type peopleAdd struct {
	Staff
	Name         string `arg:"" help:"The name, as others see it beside changes."`
	SignIn       string `help:"E-mail address or name to sign in with." required:"" placeholder:"NAME"`
	Role         string `help:"owner, office or foreman." default:"foreman"`
	PasswordFile string `help:"Read the password from a file, or from standard input: -" placeholder:"FILE" xor:"how"`
	ByLink       bool   `help:"Make a one-time link instead of setting a password." xor:"how"`
}

// Run adds a person.
func (c peopleAdd) Run(s *session) error {
	role, err := roleOf(c.Role)
	if err != nil {
		return err
	}
	p := store.Person{ID: store.NewID(), Name: strings.TrimSpace(c.Name), SignIn: store.SignInName(c.SignIn), Role: role}
	if p.Name == "" || p.SignIn == "" {
		return exit{code: WrongUsage, err: errors.New("a person has a name and a name to sign in with"), hint: `Type it like: slabwright people add Luis --sign-in luis@slabs.example`}
	}
	if _, err := c.link(""); err != nil {
		return err
	}
	hash := ""
	if !c.ByLink {
		if hash, err = c.password(s, p); err != nil {
			return err
		}
	}
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		err := jobs.AddPerson(ctx, actor, p, hash)
		if errors.Is(err, store.ErrThere) {
			return exit{code: Failed, err: fmt.Errorf("somebody signs in as `%s` already", p.SignIn), hint: "Take another name, or change that one: slabwright people --help"}
		}
		if err != nil {
			return err
		}
		if !c.ByLink {
			fmt.Fprintf(s.Out, "%s may sign in as %s (%s).\n", p.Name, p.SignIn, p.Role)
			return nil
		}
		return c.invite(ctx, s, jobs, p)
	})
}

func roleOf(text string) (store.Role, error) {
	role := store.Role(strings.ToLower(text))
	if !slices.Contains(store.Roles(), role) {
		return "", exit{code: WrongUsage, err: fmt.Errorf("`%s` is no role", text), hint: "Type owner, office or foreman. A crew needs no account: slabwright people crew --help"}
	}
	return role, nil
}

// password asks for one, or reads it, and gives its hash.
func (c peopleAdd) password(s *session, p store.Person) (string, error) {
	var password string
	switch {
	case c.PasswordFile == "-":
		password = intake.Line(s.In)
	case c.PasswordFile != "":
		text, err := os.ReadFile(c.PasswordFile)
		if err != nil {
			return "", err
		}
		first, _, _ := bytes.Cut(text, []byte("\n"))
		password = strings.TrimSuffix(string(first), "\r")
	case s.Hidden == nil:
		return "", exit{code: Missing, err: errors.New("there is no terminal to ask for the password on"), hint: "Give --password-file FILE (or - for standard input), or --by-link."}
	default:
		for _, ask := range []struct {
			says string
			into func(string) error
		}{
			{"Password of " + p.Name + ", unseen: ", func(t string) error { password = t; return nil }},
			{"The same again: ", func(t string) error {
				if t != password {
					return exit{code: WrongUsage, err: errors.New("the two are not the same"), hint: "Nothing was changed. Try again."}
				}
				return nil
			}},
		} {
			fmt.Fprint(s.Err, ask.says)
			typed, err := s.Hidden()
			fmt.Fprintln(s.Err)
			if err != nil {
				return "", err
			}
			if err := ask.into(typed); err != nil {
				return "", err
			}
		}
	}
	if why := door.PasswordFault(password, p.Name, p.SignIn); why != "" {
		return "", exit{code: WrongUsage, err: errors.New(why)}
	}
	return door.Hash(context.Background(), password)
}

// invite makes a one-time link and prints it.
func (c Staff) invite(ctx context.Context, s *session, jobs *store.Store, p store.Person) error {
	path, err := door.NewInvite(ctx, jobs, actor, p.ID, s.Now())
	if err != nil {
		return err
	}
	link, err := c.link(path)
	if err != nil {
		return err
	}
	if s.JSON {
		return s.printJSON(map[string]string{"sign_in": p.SignIn, "link": link})
	}
	fmt.Fprintln(s.Out, link)
	if !s.Quiet {
		fmt.Fprintf(s.Err, "For %s only. It works once, for three days, and cannot be shown again.\n", p.Name)
	}
	return nil
}

type peopleRole struct {
	Staff
	SignIn string `arg:"" help:"The name the person signs in with."`
	Role   string `arg:"" help:"owner, office or foreman."`
}

// Run gives a person another role.
func (c peopleRole) Run(s *session) error {
	role, err := roleOf(c.Role)
	if err != nil {
		return err
	}
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		p, err := called(ctx, jobs, c.SignIn)
		if err == nil {
			err = lastOwner(jobs.SetRole(ctx, actor, p.ID, role))
		}
		if err == nil {
			fmt.Fprintf(s.Out, "%s is %s now, and signs in anew.\n", p.Name, role)
		}
		return err
	})
}

func lastOwner(err error) error {
	if errors.Is(err, store.ErrLastOwner) {
		return exit{code: Failed, err: errors.New("this is the last owner, and a shop has one"), hint: "Make somebody else owner first: slabwright people role NAME owner"}
	}
	return err
}

type peopleDisable struct {
	Staff
	SignIn string `arg:"" help:"The name the person signs in with."`
	Undo   bool   `help:"Let the person in again."`
}

// Run shuts a person out, or lets in again.
func (c peopleDisable) Run(s *session) error {
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		p, err := called(ctx, jobs, c.SignIn)
		if err == nil {
			err = lastOwner(jobs.SetDisabled(ctx, actor, p.ID, !c.Undo))
		}
		if err == nil && c.Undo {
			fmt.Fprintf(s.Out, "%s may sign in again.\n", p.Name)
		} else if err == nil {
			fmt.Fprintf(s.Out, "%s is shut out.\n", p.Name)
		}
		return err
	})
}

type peopleLink struct {
	Staff
	SignIn string `arg:"" help:"The name the person signs in with."`
}

// Run makes a one-time link.
func (c peopleLink) Run(s *session) error {
	if _, err := c.link(""); err != nil {
		return err
	}
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		p, err := called(ctx, jobs, c.SignIn)
		if err != nil {
			return err
		}
		return c.invite(ctx, s, jobs, p)
	})
}

type peopleCrew struct {
	Staff
	Name  string `arg:"" help:"What the crew is called; without --job it sees what its jobs of the day say of this crew."`
	Job   string `help:"The one job it sees, by its id." placeholder:"ID"`
	Until string `help:"The last day it is good for, like 2027-06-19; three days on when left out." placeholder:"DATE"`
}

// Run makes a crew link.
func (c peopleCrew) Run(s *session) error {
	now := s.Now()
	day := now.AddDate(0, 0, 3)
	if c.Until != "" {
		var err error
		if day, err = time.ParseInLocation(time.DateOnly, c.Until, now.Location()); err != nil {
			return exit{code: WrongUsage, err: fmt.Errorf("--until `%s` is not a day", c.Until), hint: "Type it like 2027-06-19."}
		}
	}
	ends := time.Date(day.Year(), day.Month(), day.Day()+1, 0, 0, 0, 0, now.Location())
	if !ends.After(now) || ends.Sub(now) > door.LongestLink {
		return exit{code: WrongUsage, err: fmt.Errorf("--until `%s` is past, or more than sixty days away", c.Until), hint: "Type the last day of the job."}
	}
	if _, err := c.link(""); err != nil {
		return err
	}
	return c.with(s, func(ctx context.Context, jobs *store.Store) error {
		l, path, number, err := door.NewCrewLink(ctx, jobs, actor, store.CrewLink{Name: c.Name, Crew: c.Name, Job: c.Job, Ends: ends})
		if errors.Is(err, store.ErrAbsent) {
			return exit{code: NotFound, err: fmt.Errorf("there is no job `%s`", c.Job), hint: "The id stands in the address of the job's page."}
		}
		if err != nil {
			return err
		}
		link, err := c.link(path)
		if err != nil {
			return err
		}
		if s.JSON {
			return s.printJSON(map[string]string{"crew": l.Name, "link": link, "number": number, "ends": l.Ends.Format(time.RFC3339)})
		}
		fmt.Fprintf(s.Out, "%s\n%s\n", link, number)
		if !s.Quiet {
			fmt.Fprintf(s.Err, "For %s, until %s. Send the link, or say the nine digits. They cannot be shown again.\n", l.Name, l.Ends.Format("Mon Jan 2, 15:04"))
		}
		return nil
	})
}
