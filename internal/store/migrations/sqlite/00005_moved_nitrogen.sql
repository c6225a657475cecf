-- The nitrogen a kept plan moved.

-- +goose Up
ALTER TABLE "scenarios" ADD COLUMN "nitrogen_kg_ha" REAL;

-- +goose Down
ALTER TABLE "scenarios" DROP COLUMN "nitrogen_kg_ha";
