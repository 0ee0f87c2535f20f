package api

import (
	"context"
	"fmt"
	"reflect"

	"swingroom/api/office"
)

// handler answers one kind of request: it decodes, calls one thing, encodes.
type handler struct {
	do  func(q *request) error
	in  reflect.Type // of the values that it takes, beside those of every act; nil: none
	out reflect.Type // of a JSON answer; nil: it is something else
}

// plain is a handler that takes no values and answers with no JSON of its own.
func plain(do func(q *request) error) handler { return handler{do: do} }

// gives is a handler that takes no values and answers with JSON of a type.
func gives[A any](do func(q *request) error) handler {
	return handler{do: do, out: reflect.TypeFor[A]()}
}

// takes is a handler of decoded values that answers by itself.
func takes[I any](do func(q *request, in I) error) handler {
	return handler{in: reflect.TypeFor[I](), do: func(q *request) error {
		var in I
		if err := q.values.into(&in); err != nil {
			return err
		}
		return do(q, in)
	}}
}

// answers is a handler of decoded values that answers with JSON.
func answers[I, A any](do func(q *request, in I) (A, error)) handler {
	h := takes(func(q *request, in I) error {
		answer, err := do(q, in)
		if err != nil {
			return err
		}
		return q.writeJSON(answer)
	})
	h.out = answerOf[A]()
	return h
}

// makes is a handler that answers with JSON of a type where it has made something, and else only that it is done.
func makes[A any](h handler) handler {
	h.out = answerOf[A]()
	return h
}

// answerOf is the type that an answer has in JSON: a pointer is never null, for an answer without an error is there.
func answerOf[A any]() reflect.Type {
	t := reflect.TypeFor[A]()
	if t.Kind() == reflect.Pointer {
		return t.Elem()
	}
	return t
}

// ask is the handler of a question about a harbor.
func ask[I, A any](do func(*office.Harbor, I) (A, error)) handler {
	return askContext(func(h *office.Harbor, _ context.Context, in I) (A, error) { return do(h, in) })
}

// askContext is the handler of a question about a harbor that ends when its asker has gone.
func askContext[I, A any](do func(*office.Harbor, context.Context, I) (A, error)) handler {
	return answers(func(q *request, in I) (answer A, err error) {
		h, err := q.harbor()
		if err != nil {
			return answer, err
		}
		return do(h, q.r.Context(), in)
	})
}

// askMooring is the handler of a question about the mooring of the path.
func askMooring[I, A any](do func(h *office.Harbor, ctx context.Context, number string, in I) (A, error)) handler {
	return answers(func(q *request, in I) (answer A, err error) {
		h, err := q.harbor()
		if err != nil {
			return answer, err
		}
		return do(h, q.r.Context(), q.pathText("number"), in)
	})
}

// act is the handler of an act on a harbor. Its answer has the tag of the revision that the act has made.
func act[I any](do func(*office.Harbor, context.Context, office.Author, I) (office.Result, error)) handler {
	return handler{in: reflect.TypeFor[I](), out: reflect.TypeFor[office.Result](), do: func(q *request) error {
		return q.act(func(h *office.Harbor, by office.Author) (result office.Result, err error) {
			by.Precondition, by.PreconditionError = q.precondition()
			var in I
			if err := q.values.into(&in); err != nil {
				return result, err
			}
			return do(h, q.r.Context(), by, in)
		})
	}}
}

// undo is the handler of the act that needs nothing but its author.
var undo = handler{out: reflect.TypeFor[office.Result](), do: func(q *request) error {
	return q.act(func(h *office.Harbor, by office.Author) (result office.Result, err error) {
		by.Precondition = office.AnyRevision
		if q.values.has("revision") {
			if by.Precondition, err = q.values.revision(); err != nil {
				return result, err
			}
		}
		return h.Undo(q.r.Context(), by)
	})
}}

// act carries out an act of whoever asks.
func (q *request) act(do func(*office.Harbor, office.Author) (office.Result, error)) error {
	by, err := q.author()
	if err != nil {
		return err
	}
	h, err := q.harbor()
	if err != nil {
		return err
	}
	result, err := do(h, by)
	if err != nil {
		return err
	}
	return q.writeTagged(result, tagOf(result.Revision))
}

// author is whose act it is: the one who has signed in, or where there are no accounts who the body says.
func (q *request) author() (by office.Author, err error) {
	who, err := q.values.take("who")
	if err != nil {
		return by, err
	}
	if by.Why, err = q.values.take("why"); err != nil {
		return by, err
	}
	if by.Despite, err = q.values.take("despite"); err != nil {
		return by, err
	}
	by.Person = q.person
	if !by.SignedIn() {
		by.Name = who
	}
	return by, nil
}

// check refuses a route whose parameters are not described, or whose descriptions are of nothing.
func (r *route) check() error {
	taken := map[string]bool{}
	if r.acts && r.scoped && r.takes == "" {
		taken = map[string]bool{"who": true, "why": true, "despite": true, "revision": true}
	}
	if r.in != nil {
		_ = eachField(reflect.New(r.in).Elem(), func(name string, _ reflect.Value) error { // it never fails
			taken[name] = true
			return nil
		})
	}
	for name := range taken {
		if find(r.params, name) == nil {
			return fmt.Errorf("route %s: parameter %s has no description", r.name, name)
		}
	}
	for _, p := range r.params {
		if !p.inPath && !taken[p.name] {
			return fmt.Errorf("route %s: parameter %s is described and not taken", r.name, p.name)
		}
	}
	return nil
}
