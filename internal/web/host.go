package web

import (
	"net"
	"net/http"
	"strings"
)

// withHost refuses names that are not this computer’s while only this computer is served. A page elsewhere could else
// point its own name at this address and read the records (DNS rebinding).
func (s *server) withHost(next http.Handler) http.Handler {
	if !s.o.Local {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !localHost(r.Host) {
			http.Error(w, "this program answers only to its own address, such as 127.0.0.1 or localhost", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func localHost(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	name = strings.TrimSuffix(strings.ToLower(strings.Trim(name, "[]")), ".")
	if name == "localhost" || strings.HasSuffix(name, ".localhost") {
		return true
	}
	ip := net.ParseIP(name)
	return ip != nil && ip.IsLoopback()
}
