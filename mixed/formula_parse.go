package mixed

import "strconv"

// parser reads a formula by precedence, as R does: ^ binds closest, then a sign, then :, then * and /, then + and −, then bars.
type parser struct {
	written
	words []token
	i     int
	depth int
}

var precedence = map[string]int{"|": 1, "||": 1, "+": 2, "-": 2, "*": 3, "/": 3, ":": 4, "^": 6}

const signPrecedence = 5

func (p *parser) next() token { return p.words[p.i] }

// said names a token for a message.
func (t token) said() string {
	if t.kind == "end" {
		return "the end"
	}
	return strconv.Quote(t.text)
}

// expression reads operators that bind at least as closely as least.
func (p *parser) expression(least int) (*node, error) {
	p.depth++
	defer func() { p.depth-- }()
	if p.depth > deepestBracket {
		return nil, p.fault(p.next().at, "brackets and signs lie more than %d deep", deepestBracket)
	}
	left, err := p.operand()
	if err != nil {
		return nil, err
	}
	for {
		op := p.next()
		binds, ok := precedence[op.kind]
		if !ok || binds < least {
			return left, nil
		}
		p.i++
		follow := binds + 1
		if op.kind == "^" { // 2^3^2 is 2^(3^2)
			follow = binds
		}
		right, err := p.expression(follow)
		if err != nil {
			return nil, err
		}
		left = &node{op: op.kind, at: op.at, left: left, right: right}
	}
}

func (p *parser) operand() (*node, error) {
	t := p.next()
	switch t.kind {
	case "number":
		p.i++
		v, err := strconv.ParseFloat(t.text, 64)
		if err != nil {
			return nil, p.fault(t.at, "%s is not a number", t.text)
		}
		return &node{op: "number", at: t.at, value: v}, nil
	case "name":
		p.i++
		if p.next().kind == "(" && !t.tick {
			return p.call(t)
		}
		return &node{op: "name", at: t.at, name: t.text, tick: t.tick}, nil
	case "(":
		p.i++
		inside, err := p.bracket(t)
		if err != nil {
			return nil, err
		}
		return &node{op: "(", at: t.at, left: inside}, nil
	case "-", "+":
		p.i++
		of, err := p.expression(signPrecedence)
		if err != nil {
			return nil, err
		}
		if t.kind == "+" {
			return of, nil
		}
		return &node{op: "neg", at: t.at, left: of}, nil
	}
	before := "at the start"
	if p.i > 0 {
		before = "after " + p.words[p.i-1].said()
	}
	return nil, p.fault(t.at, "a name or number is missing %s: found %s", before, t.said())
}

// call reads the brackets of a function; only functions of one argument are known.
func (p *parser) call(name token) (*node, error) {
	_, known := functions[name.text]
	e := &node{op: "call", at: name.at, name: name.text}
	if !known && name.text != "I" && !e.isFactorCall() {
		return nil, p.fault(name.at, "function %s is not known: allowed are %s", name.text, functionNames)
	}
	open := p.next()
	p.i++
	arg, err := p.bracket(open)
	if err != nil {
		return nil, err
	}
	e.left = arg
	return e, nil
}

// bracket reads what stands between an opening bracket, which has been read, and its closing one.
func (p *parser) bracket(open token) (*node, error) {
	if p.next().kind == ")" {
		return nil, p.fault(p.next().at, "there is nothing between the brackets")
	}
	inside, err := p.expression(1)
	if err != nil {
		return nil, err
	}
	switch t := p.next(); t.kind {
	case ")":
		p.i++
		return inside, nil
	case "end":
		return nil, p.fault(open.at, `the bracket "(" is not closed`)
	case ",":
		return nil, p.fault(t.at, "a function takes one argument here")
	default:
		return nil, p.fault(t.at, `expected an operator or ")" and found %s`, t.said())
	}
}

// sides reads the whole formula: response ~ terms.
func (p *parser) sides() (response, terms *node, err error) {
	if p.next().kind == "~" {
		return nil, nil, p.fault(p.next().at, `the response is missing before "~"`)
	}
	if response, err = p.expression(1); err != nil {
		return nil, nil, err
	}
	if t := p.next(); t.kind != "~" {
		if t.kind == "end" {
			return nil, nil, p.fault(t.at, `there is no "~": write response ~ terms`)
		}
		return nil, nil, p.fault(t.at, `expected an operator or "~" and found %s`, t.said())
	}
	p.i++
	if terms, err = p.expression(1); err != nil {
		return nil, nil, err
	}
	if t := p.next(); t.kind != "end" {
		return nil, nil, p.fault(t.at, "expected an operator or the end and found %s", t.said())
	}
	return response, terms, nil
}
