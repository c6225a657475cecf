package findings

import "gonum.org/v1/gonum/mat"

// leastSquares gives, for columns of equal length, the weights that turn values into ordinary least-squares coefficients:
// (X'X)⁻¹X', one row a column of X. ok is false where the columns do not stand apart.
func leastSquares(columns [][]float64) (weights [][]float64, ok bool) {
	n, k := len(columns[0]), len(columns)
	if n < k {
		return nil, false
	}
	x := mat.NewDense(n, k, nil)
	for j, c := range columns {
		x.SetCol(j, c)
	}
	var qr mat.QR
	qr.Factorize(x)
	if qr.Cond() > 1e10 {
		return nil, false
	}
	eye := mat.NewDiagDense(n, ones(n))
	var w mat.Dense
	if qr.SolveTo(&w, false, eye) != nil {
		return nil, false
	}
	for j := range k {
		weights = append(weights, mat.Row(nil, j, &w))
	}
	return weights, true
}

// beside gives an orthonormal basis of what the columns leave out: a model that holds both fits every value as it came.
func beside(columns [][]float64) [][]float64 {
	n, k := len(columns[0]), len(columns)
	x := mat.NewDense(n, k, nil)
	for j, c := range columns {
		x.SetCol(j, c)
	}
	var qr mat.QR
	qr.Factorize(x)
	var q mat.Dense
	qr.QTo(&q)
	var out [][]float64
	for j := k; j < n; j++ {
		out = append(out, mat.Col(nil, j, &q))
	}
	return out
}
