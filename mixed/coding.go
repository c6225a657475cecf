package mixed

// Coding is how the columns of a table became the columns of a design.
type Coding struct{}
