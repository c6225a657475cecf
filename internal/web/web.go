// Package web is the web app: pages rendered on the server, forms that work without JavaScript, one file for each
// action on a page. It asks package app for everything it says.
package web

import (
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"

	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// Options say how the web app runs.
type Options struct {
	Version  string
	Log      *slog.Logger // nil for [slog.Default]
	Local    bool         // only this computer can reach it: a package may be brought in from a folder on it
	MaxBytes int64        // most an upload may hold; 0 for 64 MB
	Prompt   bool         // answer at once with what is measured, and leave what takes seconds to the background: see [app.App.Begin]
	Remark   string       // about what is shown, at the foot of every page, such as that it is invented
}

type server struct {
	app    *app.App
	o      Options
	log    *slog.Logger
	assets *assets
	send   *sender
	limit  int64
	drafts *drafts
	labs   labDrafts

	settings settings // how each person wants things said

	seasons seasons // plans looked for

	patterns []string // of all addresses that are answered
}

// New returns the web app over the use cases.
func New(a *app.App, o Options) http.Handler { return newServer(a, o).handler() }

func newServer(a *app.App, o Options) *server {
	s := &server{app: a, o: o, log: o.Log, send: newSender(), limit: o.MaxBytes, drafts: newDrafts(a.Now), settings: inCookie{}}
	if s.log == nil {
		s.log = slog.Default()
	}
	if s.limit == 0 {
		s.limit = 64 << 20
	}
	var err error
	if s.assets, err = loadAssets(); err != nil {
		panic(fmt.Sprintf("embedded static files: %v", err)) // cannot happen in a binary that was built
	}
	return s
}

// handler answers every address, with what stands before all of them.
func (s *server) handler() http.Handler {
	cross := http.NewCrossOriginProtection()
	cross.SetDenyHandler(http.HandlerFunc(s.refuse))
	return withHeaders(s.withLog(s.withHost(cross.Handler(s.routes()))))
}

// action is a page action: it answers, or returns an error to be shown as a page.
type action func(http.ResponseWriter, *http.Request) error

func (s *server) routes() http.Handler {
	mux := http.NewServeMux()
	handle := func(pattern string, f action) {
		s.patterns = append(s.patterns, pattern)
		mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			if r.Method == http.MethodPost {
				r.Body = http.MaxBytesReader(w, r.Body, s.limit)
			}
			defer s.survive(w, r)
			defer s.app.Answering()()
			r, err := s.styled(r)
			if err == nil {
				err = f(tellsStored(w, r), r)
			}
			if to := besides(r, err); to != "" {
				http.Redirect(w, r, to, http.StatusSeeOther)
			} else if err != nil {
				s.problem(w, r, err)
			}
		})
	}
	mux.Handle("GET /static/", s.assets)
	mux.Handle("GET /favicon.ico", http.RedirectHandler(s.assets.base+"mark.svg", http.StatusFound))
	handle("GET /{$}", s.listCourses)
	handle("GET /", s.notFound)
	handle("GET /search", s.search)
	handle("POST /view", s.setView)
	handle("GET /settings", s.showSettings)
	handle("POST /settings", s.saveSettings)
	handle("GET /help", s.showHelp)
	handle("GET /help/{document}", s.showDocument)
	handle("GET /sands", s.listSands)
	handle("GET /course/{course}/sands", s.showGrains)
	handle("GET /bench", s.listRuns)
	handle("GET /import", s.showImport)
	handle("POST /import", s.previewImport)
	handle("GET /import/{draft}", s.showDraft)
	handle("POST /import/{draft}/confirm", s.confirmImport)
	handle("POST /import/{draft}/discard", s.discardImport)
	handle("GET /sheet/{draft}", s.showLabSheet)
	handle("POST /sheet/{draft}", s.mapLabSheet)
	handle("GET /new", s.newCourse)
	handle("POST /new", s.saveCourse)
	handle("GET /course/{course}", s.showCourse)
	handle("GET /course/{course}/edit", s.editCourse)
	handle("POST /course/{course}/edit", s.saveCourse)
	handle("GET /course/{course}/table/{table}", s.showTable)
	handle("POST /course/{course}/table/{table}", s.saveTable)
	handle("GET /course/{course}/round", s.showRounds)
	handle("GET /course/{course}/design", s.designRound)
	handle("POST /course/{course}/design", s.createRound)
	handle("GET /course/{course}/round/{round}/plan", s.showPlanned)
	handle("POST /course/{course}/round/{round}/plan", s.updatePlanned)
	handle("POST /course/{course}/round/{round}/plan/delete", s.deletePlanned)
	handle("GET /course/{course}/round/{round}/cores.gpx", s.sendCores)
	handle("GET /course/{course}/round/{round}/cores.geojson", s.sendCores)
	handle("GET /course/{course}/green/{green}/outline", s.showOutline)
	handle("POST /course/{course}/green/{green}/outline", s.saveOutline)
	handle("POST /course/{course}/green/{green}/outline/delete", s.deleteOutline)
	handle("POST /course/{course}/green/{green}/outline/file", s.takeOutlineFile)
	handle("POST /course/{course}/green/{green}/points", s.saveFixedPoints)
	handle("GET /course/{course}/round/{round}/papers", s.showPapers)
	handle("GET /course/{course}/round/{round}/labels.pdf", s.sendLabels)
	handle("GET /course/{course}/round/{round}/sheet.pdf", s.sendSheet)
	handle("GET /course/{course}/custody", s.showCustody)
	handle("POST /course/{course}/custody", s.markCustody)
	handle("GET /course/{course}/bench", s.showBench)
	handle("GET /course/{course}/bench/enter", s.enterBench)
	handle("POST /course/{course}/bench/enter", s.saveBench)
	handle("POST /course/{course}/bench/release", s.releaseRun)
	handle("GET /course/{course}/findings", s.showFindings)
	handle("POST /course/{course}/findings", s.showPeers)
	handle("GET /course/{course}/peers.csv", s.exportPeers)
	handle("POST /course/{course}/judgement", s.createJudgement)
	handle("GET /course/{course}/profile", s.showProfile)
	handle("GET /course/{course}/plan", s.showPlan)
	handle("GET /course/{course}/plan/rehearse", s.showRehearsal)
	handle("GET /course/{course}/plan/crew", s.showCrew)
	handle("GET /course/{course}/plan/file/{file}", s.sendSeason)
	handle("POST /course/{course}/plan/keep", s.keepPlan)
	handle("POST /course/{course}/plan/drop", s.dropPlan)
	handle("POST /course/{course}/plan/accept", s.acceptPlan)
	handle("GET /course/{course}/operations", s.showOperations)
	handle("GET /course/{course}/operations/file", s.sendOperations)
	handle("POST /course/{course}/operations/file", s.takeOperations)
	handle("GET /course/{course}/operation", s.newOperation)
	handle("POST /course/{course}/operation", s.createOperation)
	handle("GET /course/{course}/operation/{operation}", s.editOperation)
	handle("POST /course/{course}/operation/{operation}", s.updateOperation)
	handle("POST /course/{course}/operation/{operation}/switch", s.switchOperation)
	handle("POST /course/{course}/operation/{operation}/forget", s.forgetOperation)
	handle("POST /course/{course}/closings", s.saveClosing)
	handle("POST /course/{course}/closings/drop", s.dropClosing)
	handle("POST /course/{course}/crew", s.saveCrew)
	handle("POST /course/{course}/crew/drop", s.dropCrew)
	handle("GET /course/{course}/log", s.showLog)
	handle("POST /course/{course}/log", s.createWork)
	handle("GET /course/{course}/log/{entry}", s.editWork)
	handle("POST /course/{course}/log/{entry}", s.updateWork)
	handle("POST /course/{course}/log/{entry}/delete", s.deleteWork)
	handle("GET /course/{course}/history", s.showHistory)
	handle("POST /course/{course}/undo", s.undoChange)
	handle("GET /course/{course}/export", s.exportCourse)
	handle("GET /course/{course}/workbook.xlsx", s.sendWorkbook)
	handle("GET /course/{course}/report", s.showReport)
	handle("GET /course/{course}/report/build", s.showBuilder)
	handle("POST /course/{course}/report/build", s.saveBuilder)
	handle("GET /course/{course}/report/pages", s.showPages)
	handle("GET /course/{course}/report/logo", s.showLogo)
	handle("GET /course/{course}/report.css", s.showReportStyle)
	handle("GET /course/{course}/report.pdf", s.showReportPDF)
	return mux
}

// survive turns a panic into an error page: no record, however odd, takes the program down.
func (s *server) survive(w http.ResponseWriter, r *http.Request) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler {
		panic(p)
	}
	s.log.Error("panic", "path", r.URL.Path, "panic", p, "stack", string(debug.Stack()))
	s.problem(w, r, fmt.Errorf("the page %s ran into a fault of the program: %v", r.URL.Path, p))
}

// withLog writes a line for every answer that took long.
func (s *server) withLog(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		start := time.Now()
		defer func() {
			if d := time.Since(start); d > time.Second {
				s.log.Warn("slow page", "method", r.Method, "path", r.URL.Path, "took", d.Round(time.Millisecond))
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// patience is how long a page waits for what takes long, below 0 for ever.
func (s *server) patience() time.Duration {
	if s.o.Prompt {
		return promptly
	}
	return -1
}

// promptly is how long a page waits before it shows what is measured: common practice, no source.
const promptly = 40 * time.Millisecond

// frame is what surrounds a page outside a course.
func (s *server) frame(r *http.Request, title, nav string) page.Frame {
	here := r.URL.RequestURI()
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		here = "/"
		if id := r.PathValue("course"); id != "" {
			here = page.CoursePath(id)
		}
	}
	return page.Frame{
		Title: title, Nav: nav, View: viewOf(r), Here: here, Echo: r.PostForm.Get("draft"), Today: s.app.Now(), Assets: s.assets.base, Version: s.o.Version, Remark: s.o.Remark,
	}
}
