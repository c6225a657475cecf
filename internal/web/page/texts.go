package page

import (
	"context"

	spoken "underfoot/internal/say" // say is a component here
)

// txt is a text of the catalogue in the reader's language.
func txt(ctx context.Context, key string, args ...any) string { return spoken.T(ctx, key, args...) }

// lang is the tag of the reader's language.
func lang(ctx context.Context) string { return spoken.From(ctx).Lang() }
