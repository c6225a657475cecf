package exchange

import (
	"fmt"
	"strings"
)

// commas watches how the decimals of each number column are written in a file that is not separated by commas.
type commas struct {
	comma, point []int // by position in the table, line of the first cell with that sign, 0 for none
}

func newCommas(columns int) *commas {
	return &commas{make([]int, columns), make([]int, columns)}
}

// read returns the number with a point, or what is wrong with it.
func (c *commas) read(column, line int, text string) (string, string) {
	hasComma, hasPoint := strings.ContainsRune(text, ','), strings.ContainsRune(text, '.')
	switch {
	case hasComma && hasPoint, strings.Count(text, ",") > 1:
		return "", "has a thousands mark or two decimal signs: write the number without thousands mark"
	case hasComma && c.point[column] > 0:
		return "", fmt.Sprintf("has a decimal comma, but line %d has a decimal point in this column: write all with a point", c.point[column])
	case hasPoint && c.comma[column] > 0:
		return "", fmt.Sprintf("has a decimal point, but line %d has a decimal comma in this column: write all with a point", c.comma[column])
	case hasComma:
		c.comma[column] = line
		return strings.Replace(text, ",", ".", 1), ""
	case hasPoint:
		c.point[column] = line
	}
	return text, ""
}
