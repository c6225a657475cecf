package mixed

import "math"

// fixed is the fixed part made orthonormal in the metric of the weights, √W·X = Q·R, with the response split into its
// ordinary least-squares fit and the rest. The fit of the variances works on Q and the rest: both are of moderate size
// whatever the units and offsets of X and y, so that cross-products lose no digits.
type fixed struct {
	n, p    int         // rows; columns kept
	kept    []int       // columns of the design that stayed
	aliased []Aliased   // and those that went
	r       [][]double  // p × p upper triangle of R
	inverse [][]float64 // R⁻¹, p × p upper triangle
	q       [][]float64 // p columns of Q, each n long; nil when rows are made as they are needed (long tables)
	columns [][]float64 // the columns kept, as the design has them
	root    []float64   // √w, nil for equal weights
	beta    []double    // p least-squares coefficients
	rest    []float64   // n: √w·(y − X·β)
	sum     double      // Σ rest²
}

// Aliased is a column of the design that says nothing the columns before it have not said.
type Aliased struct {
	Name string
	Why  string
}

// collinear is the share of a column's length left outside the columns before it under which it counts as a combination of them:
// well above the rounding of numbers written with 15 digits, well below what a polynomial of degree ten leaves.
const collinear = 3e-14

// sound is the share of a column's squared length that must be left outside the columns before it for the Gram matrix, summed in
// twice the working precision, to give every digit: the squared condition it implies, 1e12, leaves 14 digits of 26.
// Below it the columns are orthogonalised themselves, unless the table is so long (n·p² above longTable) that it would take minutes.
const (
	sound     = 1e-12
	longTable = 1e8
)

// orthogonalise makes the fixed part of a design. y and the columns are finite, the weights above zero.
func orthogonalise(d *Design) *fixed {
	f := &fixed{n: len(d.Y)}
	if d.Weights != nil {
		f.root = make([]float64, f.n)
		for i, w := range d.Weights {
			f.root[i] = math.Sqrt(w)
		}
	}
	long := float64(f.n)*float64(len(d.Names)*len(d.Names)) > longTable
	if len(d.Terms) == 0 && !long || !f.byGram(d, long) { // least squares alone is worth every digit
		f.kept, f.aliased, f.columns = nil, nil, nil
		f.byColumns(d)
	}
	f.invert()
	return f
}

func (f *fixed) weighted(x []float64) []double {
	v := make([]double, len(x))
	for i := range x {
		if f.root == nil {
			v[i] = double{x[i], 0}
		} else {
			v[i] = twoProduct(x[i], f.root[i])
		}
	}
	return v
}

// restore adds to a weighted column what rounding took from it.
func (f *fixed) restore(v []double, lost []float64) {
	for i, l := range lost {
		if f.root != nil {
			l *= f.root[i]
		}
		v[i] = v[i].plus(double{l, 0})
	}
}

// byColumns is modified Gram–Schmidt, each column swept twice, in double arithmetic.
func (f *fixed) byColumns(d *Design) {
	var q [][]double
	var coefficient [][]double // of every kept column on q
	for j, x := range d.Columns {
		v := f.weighted(x)
		f.restore(v, d.lost(j))
		length := dot(v, v).root()
		c := sweep(v, q)
		left := dot(v, v).root()
		if left.hi <= collinear*length.hi || left.hi == 0 {
			f.fill(coefficient)
			f.alias(d, j, c)
			continue
		}
		for i := range v {
			v[i] = v[i].over(left)
		}
		q = append(q, v)
		coefficient = append(coefficient, append(c, left))
		f.kept = append(f.kept, j)
	}
	f.p = len(q)
	f.fill(coefficient)
	y := f.weighted(d.Y)
	f.beta = f.backward(sweep(y, q))
	f.sum = dot(y, y)
	f.rest = rounded(y)
	for j, v := range q {
		f.q = append(f.q, rounded(v))
		f.columns = append(f.columns, d.Columns[f.kept[j]])
	}
}

// fill writes R from the coefficients of its columns.
func (f *fixed) fill(coefficient [][]double) {
	f.r = square(len(coefficient))
	for j, c := range coefficient {
		for i := range c {
			f.r[i][j] = c[i]
		}
	}
}

// sweep takes the columns of q out of v, twice, and returns what it took.
func sweep(v []double, q [][]double) []double {
	c := make([]double, len(q))
	for range 2 {
		for i, u := range q {
			s := dot(u, v)
			c[i] = c[i].plus(s)
			for k := range v {
				v[k] = v[k].minus(s.times(u[k]))
			}
		}
	}
	return c
}

// byGram takes R from the Cholesky factor of X'WX, summed in twice the working precision. It reports whether that is exact
// enough; always is accepted for a table too long for more.
func (f *fixed) byGram(d *Design, always bool) bool {
	all := len(d.Columns)
	gram := f.gram(d)
	var rows [][]double // rows of R over all columns and y
	for j := range all {
		row := append([]double(nil), gram[j]...)
		for _, u := range rows {
			for b := j; b <= all; b++ {
				row[b] = row[b].minus(u[j].times(u[b]))
			}
		}
		if !always && row[j].hi <= sound*gram[j][j].hi {
			return false
		}
		if row[j].hi <= 1e-22*gram[j][j].hi {
			f.aliasIn(d, j, rows)
			continue
		}
		left := row[j].root()
		for b := j; b <= all; b++ {
			row[b] = row[b].over(left)
		}
		rows = append(rows, row)
		f.kept = append(f.kept, j)
	}
	f.p = len(rows)
	f.r = f.triangle(rows)
	c := make([]double, f.p)
	for i, u := range rows {
		c[i] = u[all]
	}
	f.beta = f.backward(c)
	for _, j := range f.kept {
		f.columns = append(f.columns, d.Columns[j])
	}
	f.remainder(d)
	return true
}

func (f *fixed) aliasIn(d *Design, j int, rows [][]double) {
	c := make([]double, len(rows))
	for i, u := range rows {
		c[i] = u[j]
	}
	f.r = f.triangle(rows)
	f.alias(d, j, c)
}

// gram is the upper triangle of [X y]'W[X y]; products and sums carry their rounding errors along
// (Ogita, Rump & Oishi 2005, SIAM J Sci Comput 26:1955–1988, algorithm 5.3).
func (f *fixed) gram(d *Design) [][]double {
	columns := append(append([][]float64(nil), d.Columns...), d.Y)
	out := square(len(columns))
	for a, x := range columns {
		for b := a; b < len(columns); b++ {
			out[a][b] = inner(x, columns[b], d.Weights)
		}
	}
	return out
}

func inner(x, y, w []float64) double {
	var s, c float64
	y = y[:len(x)]
	for i, v := range x {
		if w != nil {
			p := twoProduct(w[i], v)
			c += p.lo * y[i]
			v = p.hi
		}
		h := v * y[i]
		e := math.FMA(v, y[i], -h)
		t := s + h
		z := t - s
		c += (s - (t - z)) + (h - z) + e
		s = t
	}
	return quickSum(s, c)
}

func (f *fixed) triangle(rows [][]double) [][]double {
	r := square(len(rows))
	for i, u := range rows {
		for b, j := range f.kept {
			if b >= i {
				r[i][b] = u[j]
			}
		}
	}
	return r
}

// remainder is the rest of y after the least-squares fit, row by row.
func (f *fixed) remainder(d *Design) {
	f.rest = make([]float64, f.n)
	passes := 1 // takes out what the Gram matrix left along the columns
	if f.n > 100_000 {
		passes = 0
	}
	for range passes {
		normal := make([]double, f.p) // X'W·(y − X·β), in twice the working precision: β is right to its last digit however large the rest
		for i := range f.n {
			v := f.left(d, i)
			if f.root != nil {
				v = v.times(double{f.root[i], 0})
			}
			for j, x := range f.columns {
				normal[j] = normal[j].plus(v.times(double{x[i], 0}))
			}
		}
		for j, v := range f.backward(f.forward(normal)) {
			f.beta[j] = f.beta[j].plus(v)
		}
	}
	f.residual(d)
}

func (f *fixed) residual(d *Design) {
	f.sum = double{}
	for i := range f.n {
		v := f.left(d, i)
		f.rest[i] = v.float()
		f.sum = f.sum.plus(v.times(v))
	}
}

// left is √w·(y − X·β) of a row, the rounding errors of products and sums carried along.
func (f *fixed) left(d *Design, i int) double {
	s, c := d.Y[i], 0.0
	for j, x := range f.columns {
		b, z := f.beta[j], x[i]
		h := -b.hi * z
		c += math.FMA(-b.hi, z, -h) - b.lo*z
		t := s + h
		back := t - s
		c += (s - (t - back)) + (h - back)
		s = t
	}
	v := quickSum(s, c)
	if f.root != nil {
		v = v.times(double{f.root[i], 0})
	}
	return v
}

// forward solves R'·x = c.
func (f *fixed) forward(c []double) []double {
	x := make([]double, len(c))
	for i := range c {
		v := c[i]
		for j := range i {
			v = v.minus(f.r[j][i].times(x[j]))
		}
		x[i] = v.over(f.r[i][i])
	}
	return x
}

// backward solves R·x = c.
func (f *fixed) backward(c []double) []double {
	x := make([]double, len(c))
	for i := len(c) - 1; i >= 0; i-- {
		v := c[i]
		for j := i + 1; j < len(c); j++ {
			v = v.minus(f.r[i][j].times(x[j]))
		}
		x[i] = v.over(f.r[i][i])
	}
	return x
}

func (f *fixed) invert() {
	f.inverse = make([][]float64, f.p)
	for i := range f.inverse {
		f.inverse[i] = make([]float64, f.p)
	}
	for j := range f.p {
		e := make([]double, f.p)
		e[j] = double{1, 0}
		for i, v := range f.backward(e) {
			f.inverse[i][j] = v.float()
		}
	}
}

// row writes row i of Q.
func (f *fixed) row(i int, into []float64) {
	if f.q != nil {
		for j, q := range f.q {
			into[j] = q[i]
		}
		return
	}
	w := 1.0
	if f.root != nil {
		w = f.root[i]
	}
	for j := range f.p {
		s := 0.0
		for a := 0; a <= j; a++ {
			s += f.columns[a][i] * f.inverse[a][j]
		}
		into[j] = s * w
	}
}

// logDeterminant is log |R|².
func (f *fixed) logDeterminant() float64 {
	s := 0.0
	for i := range f.p {
		s += 2 * math.Log(math.Abs(f.r[i][i].hi))
	}
	return s
}

// covariance turns a covariance of coefficients on Q into one of coefficients on X: R⁻¹ C R⁻ᵀ.
func (f *fixed) covariance(c [][]float64) [][]float64 {
	half := make([][]float64, f.p)
	for i := range half {
		half[i] = make([]float64, f.p)
		for j := range f.p {
			for a := i; a < f.p; a++ {
				half[i][j] += f.inverse[i][a] * c[a][j]
			}
		}
	}
	out := make([][]float64, f.p)
	for i := range out {
		out[i] = make([]float64, f.p)
		for j := range f.p {
			for a := j; a < f.p; a++ {
				out[i][j] += half[i][a] * f.inverse[j][a]
			}
		}
	}
	return out
}

// coefficients are the least-squares ones moved by γ on Q.
func (f *fixed) coefficients(gamma []float64) []float64 {
	out := make([]float64, f.p)
	for i, v := range f.backward(single(gamma)) {
		out[i] = f.beta[i].plus(v).float()
	}
	return out
}

func square(p int) [][]double {
	m := make([][]double, p)
	for i := range m {
		m[i] = make([]double, p)
	}
	return m
}

func rounded(v []double) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = v[i].float()
	}
	return out
}

func single(v []float64) []double {
	out := make([]double, len(v))
	for i := range v {
		out[i] = double{v[i], 0}
	}
	return out
}
