package plan

import (
	"context"
	"reflect"
	"slices"
	"strings"
	"sync"

	"slabwright/internal/engines/quantity"
	"slabwright/internal/trade/check"
	"slabwright/internal/trade/known"
	"slabwright/internal/trade/price"
	"slabwright/internal/trade/working"
)

// Unpriced is the plan for eyes that do not see the shop's money: no price, cost, wage or fee stands in it, in no input, result,
// figure, check, guess or picture. Of the question of the price only how many people come and their hours are left. What it is
// made from stays as it is.
func (p Plan) Unpriced() Plan {
	out := p
	out.unpriced = true
	out.Job = blank(p.Job)
	out.Job.Price = price.Input{}
	out.ranking = &ranking{rank: func(ctx context.Context) ([]Mover, error) {
		movers, err := p.Rank(ctx)
		return UnpricedMovers(movers), err
	}}
	out.Changes = slices.DeleteFunc(slices.Clone(p.Changes), func(c Change) bool { return c.Stage == "price" || moneyed(c.Now) || moneyed(c.Was) })
	out.Stages = make([]Report, len(p.Stages))
	for i, r := range p.Stages {
		out.Stages[i] = r.unpriced()
	}
	out.Results = Results{}
	for _, r := range out.Stages {
		if s, ok := Find(r.Name); ok && r.Answered() && r.Result != nil {
			s.keep(&out.Results, r.Input, r.Result)
		}
	}
	out.amendPictures()
	return out
}

// UnpricedMovers are those guesses that are no money, with what they move beside the price.
func UnpricedMovers(all []Mover) []Mover {
	out := slices.DeleteFunc(slices.Clone(all), func(m Mover) bool { return m.Stage == "price" || moneyed(m.Entry.Value) })
	for i := range out {
		out[i] = blank(out[i])
		out[i].now.price, out[i].now.cost = 0, 0
	}
	return slices.DeleteFunc(out, func(m Mover) bool { return m.size() <= leastMove && len(m.Stops) == 0 })
}

// bare keeps a report without money: finding all money in it takes a while, and a person who drags a corner asks many times.
type bare struct {
	once   sync.Once
	report Report
}

func (r Report) unpriced() Report {
	if r.bare == nil {
		return r.blanked()
	}
	r.bare.once.Do(func() { r.bare.report = r.blanked() })
	out := r.bare.report
	out.currency, out.amend = r.currency, nil
	return out
}

func (r Report) blanked() Report {
	r.Assumed = slices.DeleteFunc(slices.Clone(r.Assumed), func(e known.Entry) bool { return r.Name == "price" || moneyed(e.Value) })
	r.Checks = slices.DeleteFunc(slices.Clone(r.Checks), func(c check.Check) bool { return r.Name == "price" || tellsMoney(c) })
	r.Working.Steps = slices.DeleteFunc(slices.Clone(r.Working.Steps), func(s working.Step) bool {
		return moneyed(s.Value) || r.Name == "price" && s.Name != "crew" && s.Name != "hours" && !strings.HasPrefix(s.Name, "hours_")
	})
	if r.Name == "price" {
		r.Input, r.Result, r.pictures = nil, nil, nil
		return r
	}
	r.Input, r.Result = blankAny(r.Input), blankAny(r.Result)
	return r
}

// moneyed says whether a shown value is money or money per something.
func moneyed(a quantity.Any) bool {
	return strings.HasPrefix(string(a.Dimension()), string(quantity.MoneyDim))
}

// tellsMoney says whether a check weighs money or names an amount. The program's own texts write money with this sign until a face
// puts the job's in.
func tellsMoney(c check.Check) bool {
	return moneyed(c.Value) || moneyed(c.Limit) || strings.Contains(c.Says+strings.Join(c.Then, " "), "$")
}

// blank is a copy of a value in which every amount of money is zero.
func blank[T any](v T) T {
	return blanked(reflect.ValueOf(&v).Elem()).Interface().(T)
}

func blankAny(v any) any {
	if v == nil {
		return nil
	}
	return blanked(reflect.ValueOf(v)).Interface()
}

var (
	anyType  = reflect.TypeFor[quantity.Any]()
	stepType = reflect.TypeFor[working.Sheet]()
	measured = reflect.TypeFor[quantity.Measured]()
)

// isMoney says whether a type is an amount of money, or one a person may know.
func isMoney(t reflect.Type) bool {
	if t.Kind() == reflect.Struct && strings.HasPrefix(t.Name(), "Known[") {
		value, ok := t.FieldByName("Value")
		return ok && isMoney(value.Type)
	}
	return t.Kind() == reflect.Float64 && t.Implements(measured) &&
		strings.HasPrefix(string(reflect.Zero(t).Interface().(quantity.Measured).Dimension()), string(quantity.MoneyDim))
}

func blanked(v reflect.Value) reflect.Value {
	t := v.Type()
	switch {
	case isMoney(t):
		return reflect.Zero(t)
	case t == anyType:
		if moneyed(v.Interface().(quantity.Any)) {
			return reflect.Zero(t)
		}
		return v
	case t == stepType:
		sheet := v.Interface().(working.Sheet)
		sheet.Steps = slices.DeleteFunc(slices.Clone(sheet.Steps), func(s working.Step) bool { return moneyed(s.Value) })
		return reflect.ValueOf(sheet)
	}
	switch v.Kind() {
	case reflect.Struct:
		return blankedStruct(v)
	case reflect.Slice:
		if v.IsNil() || plain(t.Elem()) {
			return v
		}
		out := reflect.MakeSlice(t, 0, v.Len())
		for i := range v.Len() {
			if c, ok := v.Index(i).Interface().(check.Check); !ok || !tellsMoney(c) {
				out = reflect.Append(out, blanked(v.Index(i)))
			}
		}
		return out
	case reflect.Array:
		out := reflect.New(t).Elem()
		for i := range v.Len() {
			out.Index(i).Set(blanked(v.Index(i)))
		}
		return out
	case reflect.Map:
		if v.IsNil() || plain(t.Elem()) {
			return v
		}
		out := reflect.MakeMapWithSize(t, v.Len())
		for _, key := range v.MapKeys() {
			out.SetMapIndex(key, blanked(v.MapIndex(key)))
		}
		return out
	case reflect.Pointer, reflect.Interface:
		return blankedBehind(v)
	}
	return v
}

func blankedBehind(v reflect.Value) reflect.Value {
	if v.IsNil() {
		return v
	}
	inner := blanked(v.Elem())
	out := reflect.New(v.Type()).Elem()
	if v.Kind() == reflect.Interface {
		out.Set(inner)
		return out
	}
	at := reflect.New(inner.Type())
	at.Elem().Set(inner)
	out.Set(at)
	return out
}

// blankedStruct copies a struct with its unexported fields as they are: none of them leaves the program, and none holds money that
// a picture or a sheet writes (a test searches them).
func blankedStruct(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	for i := range v.NumField() {
		if v.Type().Field(i).IsExported() {
			out.Field(i).Set(blanked(v.Field(i)))
		}
	}
	return out
}

// plain says whether a type holds nothing but numbers and text that are no money.
func plain(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Struct, reflect.Slice, reflect.Array, reflect.Map, reflect.Pointer, reflect.Interface:
		return false
	}
	return !isMoney(t)
}
