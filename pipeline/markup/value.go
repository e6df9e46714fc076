package markup

import (
	"fmt"
	"reflect"
	"text/template/parse"
)

// expression finds a value.
type expression func(p *page, dot reflect.Value) (reflect.Value, error)

// pipeline compiles the content of an action: one command, for no value is handed on here.
func pipeline(n *parse.PipeNode) (expression, error) {
	if len(n.Cmds) != 1 {
		return nil, fmt.Errorf("values cannot be handed on with |")
	}
	args := n.Cmds[0].Args
	name, isCall := args[0].(*parse.IdentifierNode)
	if !isCall {
		if len(args) != 1 {
			return nil, fmt.Errorf("%s is not a function", args[0])
		}
		return operand(args[0])
	}
	// A function, and what its arguments are.
	f, known := functions[name.Ident]
	if !known || len(args)-1 != f.arguments {
		return nil, fmt.Errorf("%s: no such function with %d arguments", name.Ident, len(args)-1)
	}
	var operands []expression
	for _, arg := range args[1:] {
		o, err := operand(arg)
		if err != nil {
			return nil, err
		}
		operands = append(operands, o)
	}
	return func(p *page, dot reflect.Value) (reflect.Value, error) {
		values := make([]reflect.Value, len(operands))
		for i, o := range operands {
			v, err := o(p, dot)
			if err != nil {
				return v, err
			}
			values[i] = v
		}
		return f.of(values)
	}, nil
}

// operand compiles a field, a variable, a number or a text, the cursor, or what is in brackets.
func operand(n parse.Node) (expression, error) {
	switch n := n.(type) {
	case *parse.DotNode:
		return func(_ *page, dot reflect.Value) (reflect.Value, error) { return dot, nil }, nil
	case *parse.FieldNode:
		return func(_ *page, dot reflect.Value) (reflect.Value, error) { return field(dot, n.Ident) }, nil
	case *parse.VariableNode:
		return func(p *page, _ reflect.Value) (reflect.Value, error) {
			return field(p.variable(n.Ident[0]), n.Ident[1:])
		}, nil
	case *parse.NumberNode:
		if n.IsInt {
			return constant(int(n.Int64)), nil
		}
	case *parse.StringNode:
		return constant(n.Text), nil
	case *parse.PipeNode:
		return pipeline(n)
	}
	return nil, fmt.Errorf("%s is not known here", n)
}

func constant(value any) expression {
	v := reflect.ValueOf(value)
	return func(*page, reflect.Value) (reflect.Value, error) { return v, nil }
}

// variable is what a variable holds; $ is what the template was called with. That others are
// set was checked when the template was read.
func (p *page) variable(name string) reflect.Value {
	for i := len(p.variables) - 1; i >= 0; i-- {
		if p.variables[i].name == name {
			return p.variables[i].value
		}
	}
	return p.root
}

// field follows names of fields from a value.
func field(v reflect.Value, names []string) (reflect.Value, error) {
	for _, name := range names {
		v = direct(v)
		if !v.IsValid() || v.Kind() != reflect.Struct {
			return v, fmt.Errorf("there is no value to take %s from", name)
		}
		of := v.Type()
		if v = v.FieldByName(name); !v.IsValid() {
			return v, fmt.Errorf("%s has no field %s", of, name)
		}
	}
	return v, nil
}

// direct is what pointers and interfaces lead to; it is not valid where they are nil.
func direct(v reflect.Value) reflect.Value {
	for v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface {
		v = v.Elem()
	}
	return v
}

// truth reports whether a value is neither missing, zero nor empty. A struct never is.
func truth(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Invalid:
		return false
	case reflect.String, reflect.Slice, reflect.Map, reflect.Array:
		return v.Len() > 0
	case reflect.Interface:
		return truth(v.Elem())
	case reflect.Struct:
		return true
	}
	return !v.IsZero()
}

// function is one that templates can call.
type function struct {
	arguments int
	of        func([]reflect.Value) (reflect.Value, error)
}

var functions = map[string]function{
	"eq": {2, func(v []reflect.Value) (reflect.Value, error) {
		switch a, b := direct(v[0]), direct(v[1]); {
		case a.CanInt() && b.CanInt():
			return reflect.ValueOf(a.Int() == b.Int()), nil
		case a.Kind() == reflect.String && b.Kind() == reflect.String:
			return reflect.ValueOf(a.String() == b.String()), nil
		}
		return v[0], fmt.Errorf("eq of what are not two integers or two texts")
	}},
	"gt": {2, func(v []reflect.Value) (reflect.Value, error) {
		if !v[0].CanInt() || !v[1].CanInt() {
			return v[0], fmt.Errorf("gt of what are not integers")
		}
		return reflect.ValueOf(v[0].Int() > v[1].Int()), nil
	}},
	"len": {1, func(v []reflect.Value) (reflect.Value, error) {
		list := direct(v[0])
		if list.Kind() != reflect.Slice && list.Kind() != reflect.String {
			return list, fmt.Errorf("len of what has none")
		}
		return reflect.ValueOf(list.Len()), nil
	}},
	"not": {1, func(v []reflect.Value) (reflect.Value, error) { return reflect.ValueOf(!truth(v[0])), nil }},
	"or": {2, func(v []reflect.Value) (reflect.Value, error) {
		if truth(v[0]) {
			return v[0], nil
		}
		return v[1], nil
	}},
}
