// Package balance keeps the account of sand and organic matter in the top of a green between rounds of
// cores: what was laid on, what came out with cores, what sank out of the layer, and so how much organic
// matter the green makes in a year and how much sand would hold the layer as it is.
//
// A layer at a fixed depth is a window that climbs with the surface: sand laid on top pushes old material
// out of the bottom and takes its organic matter along. The account follows that. It is exact for material
// that sinks in order, keeps its mineral mass and is weighed without error; everything it does not know it
// carries as an uncertainty (see docs/model/balance.md).
package balance
