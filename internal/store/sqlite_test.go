package store

import (
	"testing"

	"underfoot"
	"underfoot/internal/store/storetest"
)

func TestContract(t *testing.T) {
	storetest.Run(t, func(t *testing.T) underfoot.Store { return openTest(t) })
}
