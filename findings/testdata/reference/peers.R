# Makes peers.json: one-way random effects with known standard errors, by metafor, and the posterior of the levels under
# flat priors on the mean and on tau by adaptive quadrature (R's integrate). Run: Rscript peers.R > peers.json
suppressMessages(library(metafor))
library(jsonlite)
bcg <- escalc(measure = "RR", ai = tpos, bi = tneg, ci = cpos, di = cneg, data = dat.bcg)
cases <- list(
  bcg = list(what = "log risk ratios of 13 trials of BCG vaccine (Colditz et al. 1994, JAMA 271:698-702; dat.bcg)",
             y = as.numeric(bcg$yi), s = sqrt(as.numeric(bcg$vi))),
  schools = list(what = "coaching effects in eight schools (Rubin 1981, J. Educ. Stat. 6:377-401)",
                 y = c(28, 8, -3, 7, -1, 1, 18, 12), s = c(15, 10, 16, 11, 9, 11, 10, 18)),
  greens = list(what = "made up for this file: organic matter of nine courses, one of them noisy",
                y = c(4.1, 4.8, 5.2, 3.9, 4.4, 6.0, 4.6, 5.1, 8.9), s = c(0.3, 0.25, 0.4, 0.3, 0.35, 0.3, 0.2, 0.5, 1.8)))
posterior <- function(y, s) {
  at <- function(tau) {
    w <- 1 / (s^2 + tau^2); mu <- sum(w * y) / sum(w); v <- 1 / sum(w)
    l <- 0.5 * log(v) + sum(0.5 * log(w) - 0.5 * w * (y - mu)^2)
    k <- s^2 / (s^2 + tau^2)
    list(l = l, m = k * mu + (1 - k) * y, v = tau^2 * k + k^2 * v)
  }
  top <- max(sapply(seq(0, 10 * sd(y), length.out = 2000), function(t) at(t)$l))
  quad <- function(f) integrate(Vectorize(function(t) { a <- at(t); f(a) * exp(a$l - top) }), 0, Inf, rel.tol = 1e-10, subdivisions = 2000)$value
  z <- quad(function(a) 1)
  m <- sapply(seq_along(y), function(i) quad(function(a) a$m[i]) / z)
  q <- sapply(seq_along(y), function(i) quad(function(a) a$v[i] + a$m[i]^2) / z)
  list(mean = m, sd = sqrt(q - m^2))
}
n <- function(x) unbox(signif(x, 12))
out <- list()
for (id in names(cases)) {
  c <- cases[[id]]
  f <- rma(yi = c$y, sei = c$s, method = "REML", control = list(threshold = 1e-14, maxiter = 10000))
  p <- posterior(c$y, c$s)
  src <- function(cit) list(kind = unbox("software"), citation = unbox(cit), locator = unbox("peers.R beside this file"))
  out[[length(out) + 1]] <- list(id = unbox(paste0("reml-", id)), what = unbox(c$what), source = src(paste0("R ", getRversion(), ", metafor ", packageVersion("metafor"), ", rma, REML")),
    input = list(y = signif(c$y, 15), s = signif(c$s, 15)), want = list(mean = n(as.numeric(f$b)), se = n(f$se), variance = n(f$tau2)),
    tol = list(rel = unbox(1e-7), abs = unbox(1e-9), why = unbox("metafor stops when tau^2 moves by less than 1e-14 or its steps end")))
  out[[length(out) + 1]] <- list(id = unbox(paste0("posterior-", id)), what = unbox(paste("posterior means and standard deviations of", c$what)),
    source = src(paste0("R ", getRversion(), ", integrate, density of tau from Gelman et al., Bayesian Data Analysis, eq. 5.21")),
    input = list(y = signif(c$y, 15), s = signif(c$s, 15)), want = list(mean = signif(p$mean, 10), sd = signif(p$sd, 10)),
    tol = list(rel = unbox(0.01), abs = unbox(0.02), why = unbox("a grid of 200 values of tau that ends at eight standard deviations of the data")))
}
cat(toJSON(out, digits = NA, pretty = FALSE), "\n")
