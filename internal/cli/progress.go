package cli

import (
	"time"

	"github.com/schollz/progressbar/v3"
)

// progress shows how far long work has come, on a terminal only.
type progress struct {
	env  *Env
	what string
	bar  *progressbar.ProgressBar
	from time.Time
}

func newProgress(env *Env, what string) *progress {
	return &progress{env: env, what: what, from: env.Now()}
}

// bytes tells how many bytes of how many are done. Nothing is shown for work that is over at once.
func (p *progress) bytes(done, total int64) { p.show(done, total, progressbar.OptionShowBytes(true)) }

// steps tells how many of how many are done.
func (p *progress) steps(done, total int) {
	p.show(int64(done), int64(total), progressbar.OptionShowCount())
}

func (p *progress) show(done, total int64, as progressbar.Option) {
	if !p.env.Screen {
		return
	}
	if p.bar == nil {
		if p.env.Now().Sub(p.from) < time.Second {
			return
		}
		p.bar = progressbar.NewOptions64(total, progressbar.OptionSetWriter(p.env.Stderr), progressbar.OptionSetDescription(p.what),
			as, progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
	}
	p.bar.Set64(done)
}

func (p *progress) done() {
	if p.bar != nil {
		p.bar.Finish()
	}
}
