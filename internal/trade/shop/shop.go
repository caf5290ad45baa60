// Package shop is what a shop sets once for all its jobs: prices, production rates, business figures, how it pours, and its lists of
// crews, plants and gear, each with the day it was set and by whom. A job takes from it what it does not say itself, and says so.
package shop

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/access"
	"slabwright/internal/trade/forms"
	"slabwright/internal/trade/job"
	"slabwright/internal/trade/joints"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/order"
	"slabwright/internal/trade/pour"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/steel"
)

// Shop is one shop's own lists. Its sections are those of a job, as far as Settable goes.
type Shop struct {
	Name     string          `yaml:"shop" says:"what the shop is called"`
	Phone    string          `yaml:"phone" says:"the shop's call-back number"`
	Units    quantity.System `yaml:"units" says:"us or metric: what bare numbers here are in, and what new jobs start with"`
	Currency string          `yaml:"currency" says:"sign before money, $ if left out"`
	Paper    string          `yaml:"paper" says:"letter or a4"`
	Zone     string          `yaml:"time_zone" says:"time zone of the shop's sites, like America/Chicago"`

	AsOf     known.Known[quantity.Date] `yaml:"as_of" says:"day these lists were written; what was set later has its own"`
	OldAfter known.Time                 `yaml:"old_after" says:"a price older than this is marked" unit:"d" usual:"7..730" show:"days"`

	Price  price.Input  `yaml:"price" says:"what the shop pays, gets done and charges"`
	Order  order.Input  `yaml:"order" says:"how the shop orders"`
	Pour   pour.Input   `yaml:"pour" says:"how the shop pours"`
	Access access.Input `yaml:"access" says:"chutes and barrows"`
	Joints joints.Input `yaml:"joints" says:"how the shop cuts joints"`
	Steel  steel.Input  `yaml:"steel" says:"how the shop sets steel"`
	Forms  forms.Input  `yaml:"forms" says:"the boards in the yard"`

	Crews  []Crew  `yaml:"crews" says:"the shop's crews"`
	Plants []Plant `yaml:"plants" says:"the plants the shop buys from"`
	Gear   []Gear  `yaml:"gear" says:"trucks, saws, screeds: what the shop has few of"`

	History []Entry `yaml:"history" says:"what was set when and by whom, newest first; nothing is taken out"`
}

// Crew is people who go out together.
type Crew struct {
	Name      known.Text   `yaml:"name" says:"what the crew is called"`
	Foreman   known.Text   `yaml:"foreman" says:"who runs it"`
	People    known.Number `yaml:"people" says:"people in it, the foreman too" usual:"1..12"`
	Finishers []known.Text `yaml:"finishers" says:"who of them finishes; a name in two crews is one person"`
	Phone     known.Text   `yaml:"phone" says:"the foreman's number"`
}

// Plant is a ready-mix plant. What it says of trucks and fees is what a job's order says of them.
type Plant struct {
	Name       known.Text        `yaml:"name" says:"what the plant is called"`
	Phone      known.Text        `yaml:"phone" says:"the dispatcher's number"`
	Account    known.Text        `yaml:"account" says:"account at the plant"`
	Haul       known.Time        `yaml:"haul" says:"drive from the plant" unit:"min" usual:"5..90|5..90" show:"minutes"`
	Hourly     known.VolumeRate  `yaml:"yards_per_hour" says:"most it sends in an hour, all customers of the shop's together" unit:"yd3/h|m3/h" usual:"5..200|4..150" show:"volume rate"`
	Trucks     known.Number      `yaml:"trucks" says:"trucks the plant can send"`
	Capacity   known.Volume      `yaml:"truck_holds" says:"what a truck brings" unit:"yd3|m3" usual:"3..11|2..9" show:"volume"`
	Increment  known.Volume      `yaml:"increment" says:"the plant's step" unit:"yd3|m3" usual:"0.25..1|0.1..1" show:"volume"`
	ShortBelow known.Volume      `yaml:"short_load_below" says:"loads below this cost a fee" unit:"yd3|m3" show:"volume"`
	ShortFee   known.Money       `yaml:"short_load_fee" says:"the plant's short-load fee" unit:"$|$" show:"money"`
	FreeTime   known.Time        `yaml:"free_time" says:"unloading time free of charge, each load" unit:"min" show:"minutes"`
	WaitPrice  known.MoneyRate   `yaml:"wait_price" says:"price of truck time after that" unit:"$/min" show:"money per hour"`
	Concrete   known.MoneyVolume `yaml:"concrete" says:"its price of concrete, where it is its own" unit:"$/yd3|$/m3"`
}

// Gear is something the shop has few of.
type Gear struct {
	Name  known.Text   `yaml:"name" says:"what it is, as jobs ask for it"`
	Count known.Number `yaml:"count" says:"how many the shop has; one if left out"`
	Says  known.Text   `yaml:"says" says:"what it carries, where it stands"`
}

// Entry is one line of the history.
type Entry struct {
	At    time.Time     `yaml:"-"` // where the moment is known
	On    quantity.Date `yaml:"on" says:"day it was set"`
	By    string        `yaml:"by" says:"who set it"`
	Field string        `yaml:"field" says:"what was set, like price.materials.concrete"`
	Was   string        `yaml:"was" jsonschema:"oneof_type=string;number" says:"what stood there; left out: nothing"`
	Now   string        `yaml:"now" jsonschema:"oneof_type=string;number" says:"what was put there; left out: it was taken out"`
	Step  string        `yaml:"why" says:"where it came from"`
}

// Sections are the parts of a job that a shop's lists have too, by name: of the shop and of a job.
func (s *Shop) sections(j *job.Job) []section {
	return []section{{"price", &s.Price, &j.Price}, {"order", &s.Order, &j.Order}, {"pour", &s.Pour, &j.Pour}, {"access", &s.Access, &j.Access},
		{"joints", &s.Joints, &j.Joints}, {"steel", &s.Steel, &j.Steel}, {"forms", &s.Forms, &j.Forms}}
}

type section struct {
	name     string
	list, of any // pointers to the same type
}

// settable are the fields of a job's sections that are a shop's habit and not one job's: whole parts end with a dot.
var settable = []string{
	"price.materials.", "price.equipment.", "price.rates.", "price.labour.", "price.business.",
	"order.base_low", "order.base_level", "order.base_roughness", "order.form_bow", "order.yield", "order.waste", "order.waste_spread",
	"order.allowance", "order.over_cost", "order.under_cost", "order.top_up", "order.most_short", "order.increment", "order.plant", "order.truck_holds",
	"order.truck_empty", "order.placing_rate", "order.trucks", "order.batching", "order.haul", "order.set_up", "order.wash", "order.delivery_rule",
	"order.time_limit", "order.free_time", "order.wait_price", "order.short_load_below", "order.short_load_fee", "order.account", "order.call_back",
	"order.accepts", "order.water_by",
	"pour.earliest_start", "pour.latest_start", "pour.finishers", "pour.finish_rate", "pour.hot_limit", "pour.covers", "pour.forecast_good_for",
	"pour.team.hands", "pour.team.placers", "pour.team.bull_float_rate", "pour.team.edge_rate", "pour.team.groove_rate", "pour.team.float_rate",
	"pour.team.broom_rate", "pour.team.spray_rate", "pour.team.saw_rate", "pour.team.bull_floats", "pour.team.groovers",
	"access.chute_reach", "access.standoff", "access.barrows",
	"joints.saw", "joints.prefer", "joints.spacing_cap", "joints.max_aspect", "joints.isolation",
	"steel.kind", "steel.stock", "steel.chair_spacing", "steel.lap_rule",
	"forms.board", "forms.stock", "forms.stake_spacing", "forms.reuse",
}

// Settable says whether a field of a job, like price.rates.forms, may stand on a shop's lists; a part of one may where some of its
// fields do.
func Settable(field string) bool {
	field, _, _ = strings.Cut(field, "[")
	return slices.ContainsFunc(settable, func(s string) bool {
		return s == field || strings.HasSuffix(s, ".") && strings.HasPrefix(field+".", s) || strings.HasPrefix(s, field+".")
	})
}

// IsSection says whether a name is that of a section a shop's lists share with jobs.
func IsSection(name string) bool {
	return slices.ContainsFunc(new(Shop).sections(new(job.Job)), func(p section) bool { return p.name == name })
}

// Lend gives a job what it does not say and the shop's lists do. The plant and the crew it names, or the only ones there are, lend
// theirs before the shop's sections. It gives back what the job names and no list has, in words.
func (s Shop) Lend(j *job.Job) (unlisted []Unlisted) { return s.LendQuoted(j, s) }

// LendQuoted is Lend for a job that was quoted when the lists stood as then: its money is of that day, all else of today.
func (s Shop) LendQuoted(j *job.Job, then Shop) (unlisted []Unlisted) {
	for _, t := range []struct{ into, from *string }{{&j.Shop, &s.Name}, {&j.Phone, &s.Phone}, {&j.Currency, &s.Currency}, {&j.Paper, &s.Paper}} {
		*t.into = cmp.Or(*t.into, *t.from)
	}
	plant, missing := s.plantOf(j)
	unlisted = append(unlisted, missing...)
	crew, missing := s.crewOf(j)
	unlisted = append(unlisted, missing...)
	s.lendPlant(j, plant)
	if plant >= 0 {
		then.lendPlantsMoney(j, s.Plants[plant].Name.Value)
	}
	s.lendCrew(j, crew)
	for i, part := range s.sections(j) {
		from := s
		if part.name == "price" {
			from = then
		}
		known.Lend(part.of, from.sections(j)[i].list, func(field string) string { return from.reason(part.name + "." + field) })
	}
	j.Price.Old = then.old(j)
	return unlisted
}

// Unlisted is something a job names that the shop's lists do not have.
type Unlisted struct{ Field, Says string }

func (s Shop) plantOf(j *job.Job) (int, []Unlisted) {
	named := j.Order.Plant.Or(s.Order.Plant)
	if !named.Given() {
		if len(s.Plants) != 1 {
			return -1, nil
		}
		return 0, nil
	}
	i := slices.IndexFunc(s.Plants, func(p Plant) bool { return strings.EqualFold(p.Name.Value, named.Value) })
	if i < 0 && len(s.Plants) > 0 {
		return i, []Unlisted{{"order.plant", fmt.Sprintf("The shop's lists have no plant %q; they have %s.", named.Value, names(s.Plants, func(p Plant) string { return p.Name.Value }))}}
	}
	return i, nil
}

func (s Shop) crewOf(j *job.Job) (int, []Unlisted) {
	if j.Crew == "" {
		if len(s.Crews) != 1 {
			return -1, nil
		}
		return 0, nil
	}
	i := slices.IndexFunc(s.Crews, func(c Crew) bool { return strings.EqualFold(c.Name.Value, j.Crew) })
	if i < 0 && len(s.Crews) > 0 {
		return i, []Unlisted{{"crew", fmt.Sprintf("The shop's lists have no crew %q; they have %s.", j.Crew, names(s.Crews, func(c Crew) string { return c.Name.Value }))}}
	}
	return i, nil
}

func names[T any](list []T, name func(T) string) string {
	out := make([]string, len(list))
	for i, one := range list {
		out[i] = name(one)
	}
	return strings.Join(out, ", ")
}

// lendPlant gives the order what the plant says.
func (s Shop) lendPlant(j *job.Job, i int) {
	if i < 0 {
		return
	}
	p, o := s.Plants[i], &j.Order
	why := func(field string) string {
		return s.reason(fmt.Sprintf("plants[%d].%s", i+1, field)) + ", plant " + p.Name.Value
	}
	lend(&o.Plant, p.Name, why("name"))
	lend(&o.Account, p.Account, why("account"))
	lend(&o.Haul, p.Haul, why("haul"))
	lend(&o.Trucks, p.Trucks, why("trucks"))
	lend(&o.Capacity, p.Capacity, why("truck_holds"))
	lend(&o.Increment, p.Increment, why("increment"))
	lend(&o.ShortBelow, p.ShortBelow, why("short_load_below"))
	lend(&o.ShortFee, p.ShortFee, why("short_load_fee"))
	lend(&o.FreeTime, p.FreeTime, why("free_time"))
	lend(&o.WaitPrice, p.WaitPrice, why("wait_price"))
}

// lendPlantsMoney gives the price what the plant of a name charges.
func (s Shop) lendPlantsMoney(j *job.Job, name string) {
	i := slices.IndexFunc(s.Plants, func(p Plant) bool { return strings.EqualFold(p.Name.Value, name) })
	if i < 0 {
		return
	}
	why := func(field string) string {
		return s.reason(fmt.Sprintf("plants[%d].%s", i+1, field)) + ", plant " + name
	}
	lend(&j.Price.Materials.ShortLoad, s.Plants[i].ShortFee, why("short_load_fee"))
	lend(&j.Price.Materials.Concrete, s.Plants[i].Concrete, why("concrete"))
}

// lendCrew tells the plan who comes.
func (s Shop) lendCrew(j *job.Job, i int) {
	if i < 0 {
		return
	}
	c := s.Crews[i]
	why := func(field string) string {
		return s.reason(fmt.Sprintf("crews[%d].%s", i+1, field)) + ", crew " + c.Name.Value
	}
	j.Crew, j.Foreman = cmp.Or(j.Crew, c.Name.Value), cmp.Or(j.Foreman, c.Foreman.Value)
	lend(&j.Price.Rates.Layout, c.People, why("people"))
	lend(&j.Pour.Team.Hands, c.People, why("people"))
	if n := len(c.Finishers); n > 0 {
		lend(&j.Pour.Finishers, known.Say(quantity.Number(n)), why("finishers"))
	}
	lend(&j.Order.Accepts, c.Foreman, why("foreman"))
}

func lend[T any](into *known.Known[T], from known.Known[T], reason string) {
	if into.Given() || !from.Given() {
		return
	}
	*into = from
	into.Origin, into.Reason = known.Listed, reason
}

// reason is what stands behind a value lent to a job.
func (s Shop) reason(field string) string {
	on, by := s.Set(field)
	out := "the shop's list"
	if !on.IsZero() {
		out += " of " + on.Time().Format("2 January 2006")
	}
	if by != "" {
		out += ", set by " + by
	}
	return out
}

// Set is the day a field was set last, and by whom: by its newest line of the history, else the day of the lists. The zero date is
// not known.
func (s Shop) Set(field string) (on quantity.Date, by string) {
	for _, e := range s.History {
		if e.Field == field || strings.HasPrefix(field, e.Field+".") || strings.HasPrefix(field, e.Field+"[") {
			return e.On, e.By
		}
	}
	return s.AsOf.Value, ""
}

// usualOld is when a price is marked as old where the shop does not say.
const usualOld = 90

// Age is how old a field is on a day, and whether that is too old for a price. False where no day is known.
func (s Shop) Age(field string, today quantity.Date) (days int, old, dated bool) {
	on, _ := s.Set(field)
	if on.IsZero() {
		return 0, false, false
	}
	days = today.DaysSince(on)
	limit := usualOld
	if s.OldAfter.Given() {
		limit = int(s.OldAfter.Value.Days())
	}
	return days, days > limit, true
}

// old names the prices a job has from the lists that are older than the shop lets them be.
func (s Shop) old(j *job.Job) []string {
	var out []string
	today := quantity.DateOf(j.AsOf)
	list := s.Price
	listed := map[string]known.Entry{}
	for _, e := range known.Entries(&list) {
		listed[e.Field] = e
	}
	for _, e := range known.Entries(&j.Price) {
		if e.Origin != known.Listed || !e.IsMoney() || listed[e.Field].Origin == known.Missing {
			continue
		}
		if days, old, _ := s.Age("price."+e.Field, today); old {
			out = append(out, fmt.Sprintf("%s (%d days)", e.Says, days))
		}
	}
	return out
}

// Fields lists every value that stands on the lists, those of crews, plants and gear too, by field path.
func (s Shop) Fields() []known.Entry {
	var out []known.Entry
	for _, part := range s.sections(new(job.Job)) {
		out = append(out, entries(part.name+".", part.list)...)
	}
	lists := struct {
		Crews  []Crew  `yaml:"crews"`
		Plants []Plant `yaml:"plants"`
		Gear   []Gear  `yaml:"gear"`
	}{s.Crews, s.Plants, s.Gear}
	return append(out, entries("", &lists)...)
}

func entries(prefix string, in any) []known.Entry {
	var out []known.Entry
	for _, e := range known.Entries(in) {
		if e.Origin != known.Missing {
			e.Field = prefix + e.Field
			out = append(out, e)
		}
	}
	return out
}

// Stray names the fields of the sections that are one job's own and cannot stand here.
func (s Shop) Stray() []string {
	var out []string
	for _, part := range s.sections(new(job.Job)) {
		walkGiven(reflect.ValueOf(part.list).Elem(), part.name, func(field string) {
			if !Settable(field) {
				out = append(out, field)
			}
		})
	}
	return out
}

// walkGiven visits every field that holds something, known values and lists as wholes.
func walkGiven(v reflect.Value, path string, visit func(string)) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() || f.Tag.Get("yaml") == "-" || v.Field(i).IsZero() {
			continue
		}
		name := path + "." + known.FieldName(f)
		if _, one := v.Field(i).Interface().(interface{ Given() bool }); one || v.Field(i).Kind() != reflect.Struct || f.Type == reflect.TypeFor[time.Time]() {
			visit(name)
			continue
		}
		walkGiven(v.Field(i), name, visit)
	}
}
