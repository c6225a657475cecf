package bench

import "fmt"

// Method is how the material was prepared before burning.
type Method string

const (
	NotStated Method = ""
	Whole     Method = "whole"    // the whole layer was burnt, nothing taken out
	Screened  Method = "screened" // material was taken out through a sieve first
	Scooped   Method = "scooped"  // a portion was scooped from mixed material
)

// Comparable says whether results of this method measure the organic matter of the whole layer, so that
// they may stand in one trend. A screened or scooped result is another quantity, and one whose preparation
// nobody stated cannot be told from them.
func (m Method) Comparable() bool { return m == Whole }

func (m Method) check() error {
	switch m {
	case NotStated, Whole, Screened, Scooped:
		return nil
	}
	return fmt.Errorf("method %q: use whole, screened or scooped", string(m))
}
