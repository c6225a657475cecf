package web

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// watched is what a tab did that no page may do.
type watched struct {
	mu   sync.Mutex
	said []string
}

func (w *watched) note(text string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.said = append(w.said, text)
}

// watch fails the test at its end for every message of the console – an error of a script, something that could not be
// fetched, something the policy of the pages stopped – and for every request to another host.
func watch(t *testing.T, ctx context.Context, url string) {
	t.Helper()
	w := &watched{}
	console := chromedp.Console(ctx)
	answers := chromedp.Events(ctx, network.ResponseReceived)
	requests := chromedp.Events(ctx, network.RequestWillBeSent)
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatalf("watching the network: %v", err)
	}
	told := page.AddScriptToEvaluateOnNewDocumentParams{Source: `document.addEventListener("securitypolicyviolation", (e) => console.error("the policy stopped", e.violatedDirective, e.blockedURI, e.sourceFile))`}
	if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, told); err != nil {
		t.Fatalf("watching the policy: %v", err)
	}
	go func() {
		for m, err := range console {
			if err != nil {
				return
			}
			// A refused form is shown again with status 422, and a page that is not there with 404; the browser remarks on
			// both. What a page asks for and does not get is noted below.
			if m.Text != "" && !strings.Contains(m.Text, "status of 422") && !strings.Contains(m.Text, "status of 404") {
				w.note("the console says " + m.Text)
			}
		}
	}()
	go func() {
		for e, err := range requests {
			if err != nil {
				return
			}
			if to := e.Request.URL; !strings.HasPrefix(to, url+"/") && !strings.HasPrefix(to, "data:") && !strings.HasPrefix(to, "blob:"+url) && to != "about:blank" {
				w.note("a request to " + to)
			}
		}
	}()
	go func() {
		for e, err := range answers {
			if err != nil {
				return
			}
			if status := e.Response.Status; status >= 400 && status != 422 && e.Type != network.ResourceTypeDocument {
				w.note(fmt.Sprintf("status %d for %s", status, e.Response.URL))
			}
		}
	}()
	t.Cleanup(func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		for _, text := range w.said {
			t.Error(text)
		}
	})
}
