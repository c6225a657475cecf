# Makes stress.json and data/stress_*.csv: fits that are hard in one way or another, answered by R.
#   Rscript stress.R          (in this folder; Debian: r-base-core r-cran-lme4 r-cran-lmertest r-cran-pbkrtest r-cran-jsonlite
# and, to check the fits with known variances, r-cran-metafor)
# lme4's optimiser stops near the optimum only to about 1e-4 in theta; here every fit starts from many points and is then
# polished by Newton steps on lme4's own profiled criterion, with derivatives by Richardson extrapolation. Modes,
# predictions and Kenward-Roger are worked out densely from V = ZGZ' + R and checked against lme4 and pbkrtest.
suppressPackageStartupMessages({library(lme4); library(lmerTest); library(pbkrtest); library(numDeriv); library(jsonlite)})
dir.create("data", showWarnings = FALSE)
set.seed(20251)
versions <- sprintf("R %s.%s, lme4 %s, lmerTest %s, pbkrtest %s", R.version$major, R.version$minor, packageVersion("lme4"), packageVersion("lmerTest"), packageVersion("pbkrtest"))
why <- "optimum polished to about 1e-9 in double precision; coefficients and standard errors. Every other quantity has a tolerance of its own in reference_compare_test.go"
cases <- list()
lab <- function(p, n) sprintf("%s%02d", p, n)

# ---- optimum ----
polish <- function(formula, d, reml = TRUE, weights = NULL) {
  ctl <- lmerControl(optimizer = "nloptwrap", optCtrl = list(xtol_abs = 1e-12, ftol_abs = 1e-13, maxeval = 5000), calc.derivs = FALSE,
    check.rankX = "message+drop.cols", check.conv.singular = "ignore", check.nobs.vs.nlev = "ignore", check.nlev.gtr.1 = "ignore")
  d$.w <- if (is.null(weights)) rep(1, nrow(d)) else weights
  lf <- suppressMessages(lFormula(formula, d, REML = reml, weights = .w, control = ctl))
  if (is.null(weights)) lf <- suppressMessages(lFormula(formula, d, REML = reml, control = ctl))
  dev <- do.call(mkLmerDevfun, c(lf, list(control = ctl)))
  low <- environment(dev)$lower; k <- length(low); dg <- low == 0
  best <- list(v = Inf)
  starts <- if (k == 1) list(.02, .3, 1, 4) else c(list(ifelse(dg, 1, 0), ifelse(dg, .1, 0), ifelse(dg, 3, 0)), lapply(1:9, function(i) ifelse(dg, exp(rnorm(k, -.7, 1)), rnorm(k, 0, .3))))
  for (s in starts) for (how in 1:2) {
    o <- try(if (how == 1) nlminb(s, dev, lower = low, control = list(rel.tol = 1e-15, x.tol = 1e-12, eval.max = 3000, iter.max = 2000)) else {
      b <- minqa::bobyqa(s, dev, lower = low, control = list(rhoend = 1e-9, maxfun = 20000)); list(par = b$par, objective = b$fval) }, silent = TRUE)
    if (!inherits(o, "try-error") && o$objective < best$v - 1e-12) best <- list(v = o$objective, p = o$par)
  }
  th <- best$p
  for (i in which(dg)) { z <- th; z[i] <- 0; if (th[i] < 1e-3 && dev(z) <= dev(th) + 1e-9) th <- z }
  free <- !(dg & th == 0)
  # a column whose diagonal is zero may still have entries below it; those stay free
  g <- function(x) { y <- th; y[free] <- x; dev(y) }
  if (any(free)) for (i in 1:8) {
    gr <- grad(g, th[free]); H <- hessian(g, th[free]); step <- solve(H, gr)
    if (max(abs(step)) > .05) break
    new <- th; new[free] <- th[free] - step
    if (dev(new) > dev(th) + 1e-9) break
    th <- new
    if (max(abs(step)) < 1e-11) break
  }
  cat(sprintf("   polished: criterion %.12g, best start %.12g, last step %.1e, theta %s\n", dev(th), best$v, if (any(free)) max(abs(step)) else 0, paste(signif(th, 8), collapse = " ")))
  # at a zero the criterion must not fall inwards
  for (i in which(!free)) { z <- th; z[i] <- 1e-3; stopifnot(dev(z) >= dev(th) - 1e-10) }
  v <- dev(th)
  m <- mkMerMod(environment(dev), list(par = th, fval = v, feval = 0, conv = 0, message = ""), lf$reTrms, fr = lf$fr)
  m@call <- as.call(list(quote(lme4::lmer), formula = formula, data = quote(.data), REML = reml))
  list(m = m, dev = dev, theta = th, value = v, low = low, dropped = attr(lf$X, "col.dropped"))
}

# ---- dense truth: everything from V ----
dense <- function(m, w) {
  X <- as.matrix(getME(m, "X")); Zt <- getME(m, "Zt"); L <- getME(m, "Lambdat"); s2 <- sigma(m)^2
  y <- getME(m, "y"); G <- as.matrix(s2 * crossprod(L)); Z <- t(as.matrix(Zt))
  V <- Z %*% G %*% t(Z) + diag(s2 / w, length(w)); Vi <- solve(V); P <- solve(crossprod(X, Vi %*% X))
  b <- P %*% crossprod(X, Vi %*% y); r <- y - X %*% b
  list(X = X, Z = Z, G = G, V = V, Vi = Vi, P = P, b = drop(b), u = drop(G %*% crossprod(Z, Vi %*% r)), s2 = s2, w = w,
    CV = G - G %*% crossprod(Z, Vi %*% Z) %*% G, K = G %*% crossprod(Z, Vi %*% X), y = y)
}
# Kenward & Roger 1997 for V linear in its variances and covariances (so no second derivatives), zero variances kept
kenward <- function(m, q) {
  cn <- getME(m, "cnms"); fl <- getME(m, "flist"); as <- attr(fl, "assign"); Gs <- list(); at <- 0
  gp <- getME(m, "Gp")
  for (i in seq_along(cn)) {
    k <- length(cn[[i]]); nl <- nlevels(fl[[as[i]]]); Zi <- q$Z[, (gp[i] + 1):gp[i + 1], drop = FALSE]
    col <- function(a) Zi[, seq(a, by = k, length.out = nl), drop = FALSE]
    for (a in 1:k) for (b in a:k) Gs[[length(Gs) + 1]] <- if (a == b) tcrossprod(col(a)) else { M <- tcrossprod(col(a), col(b)); M + t(M) }
  }
  Gs[[length(Gs) + 1]] <- diag(1 / q$w, length(q$w)); r <- length(Gs)
  VG <- lapply(Gs, function(g) q$Vi %*% g); Pm <- lapply(VG, function(g) -t(q$X) %*% g %*% q$Vi %*% q$X)
  Q <- function(i, j) t(q$X) %*% VG[[i]] %*% VG[[j]] %*% q$Vi %*% q$X
  I <- matrix(0, r, r); QQ <- vector("list", r * r)
  for (i in 1:r) for (j in 1:r) { QQ[[(i - 1) * r + j]] <- Q(i, j)
    I[i, j] <- .5 * (sum(VG[[i]] * t(VG[[j]])) - 2 * sum(q$P * t(QQ[[(i - 1) * r + j]])) + sum((q$P %*% Pm[[i]]) * t(q$P %*% Pm[[j]]))) }
  W <- solve(I, tol = 1e-300); U <- 0 * q$P
  for (i in 1:r) for (j in 1:r) U <- U + W[i, j] * (QQ[[(i - 1) * r + j]] - Pm[[i]] %*% q$P %*% Pm[[j]])
  Pa <- q$P + 2 * q$P %*% U %*% q$P
  df <- function(l) { # one row: Kenward & Roger 1997, section 4 with l = 1
    Th <- tcrossprod(l) / drop(t(l) %*% q$P %*% l); a <- sapply(Pm, function(p) sum(Th * t(q$P %*% p %*% q$P))); A <- drop(t(a) %*% W %*% a)
    A1 <- A; A2 <- A; B <- (A1 + 6 * A2) / 2; gg <- (2 * A1 - 5 * A2) / (3 * A2); c1 <- gg / (3 + 2 * (1 - gg)); c2 <- (1 - gg) / (3 + 2 * (1 - gg)); c3 <- (3 - gg) / (3 + 2 * (1 - gg))
    Es <- 1 / (1 - A2); Vs <- 2 * (1 + c1 * B) / ((1 - c2 * B)^2 * (1 - c3 * B)); rho <- Vs / (2 * Es^2); 4 + 3 / (rho - 1) }
  list(Pa = Pa, df = df)
}
# Satterthwaite by theta and sigma, zeros of theta left out: observed information of the unprofiled criterion
satterthwaite <- function(f, reml) {
  m <- f$m; free <- !(f$low == 0 & f$theta == 0); n <- nobs(m); p <- ncol(getME(m, "X")); dof <- if (reml) n - p else n
  lw <- -sum(log(weights(m)))
  full <- function(x) { th <- f$theta; th[free] <- x[-length(x)]; s <- x[length(x)]; f$dev(th); pp <- environment(f$dev)$pp; rs <- environment(f$dev)$resp
    pw <- pp$sqrL(1) + rs$wrss(); pp$ldL2() + (if (reml) pp$ldRX2() else 0) + pw / s^2 + dof * log(2 * pi * s^2) + lw }
  cov <- function(x) { th <- f$theta; th[free] <- x[-length(x)]; f$dev(th); x[length(x)]^2 * environment(f$dev)$pp$unsc() }
  x0 <- c(f$theta[free], sigma(m)); H <- hessian(full, x0); A <- 2 * solve(H); v <- cov(x0)
  J <- jacobian(function(x) as.vector(cov(x)), x0); f$dev(f$theta)
  df <- function(l) { g <- drop(as.vector(tcrossprod(l)) %*% J); 2 * drop(t(l) %*% v %*% l)^2 / drop(t(g) %*% A %*% g) }
  list(df = df, full = full, x0 = x0, free = free)
}
# profile of one standard deviation or of sigma, for scalar terms: roots of criterion(s) - minimum = qchisq(.95, 1)
profile1 <- function(f, reml, j) { # j: index of theta, or 0 for sigma
  s <- satterthwaite(f, reml); th <- f$theta; n <- length(th); s0 <- sigma(f$m); min0 <- f$value
  D <- function(th, sg) { o <- s$free; x <- th[o]; if (any(!o) && any(th[!o] != 0)) NA; unp(f, reml, th, sg) }
  val <- function(v) { # fixed sd v
    others <- setdiff(seq_len(n), j)
    obj <- function(x) { sg <- if (j == 0) v else exp(x[1]); sds <- if (j == 0) abs(x) else abs(x[-1]); t2 <- numeric(n); t2[others] <- sds / sg; if (j > 0) t2[j] <- v / sg; unp(f, reml, t2, sg) }
    x0 <- c(if (j > 0) log(s0), (th * s0)[others]); best <- Inf
    if (length(x0) == 0) return(obj(x0))
    for (m in c(1, .3, 2)) { x <- x0; k <- (j > 0) + seq_along(others); x[k] <- pmax(x[k], .05 * s0) * m
      for (r in 1:3) { o <- nlminb(x, obj, control = list(rel.tol = 1e-15, x.tol = 1e-12, eval.max = 2000, iter.max = 1000)); x <- o$par; best <- min(best, o$objective) } }
    best }
  est <- if (j == 0) s0 else th[j] * s0; cut <- min0 + qchisq(.95, 1); h <- function(v) val(v) - cut
  lower <- if (j > 0 && h(0) < 0) 0 else uniroot(h, c(if (j == 0) est * .2 else 0, est), tol = 1e-11)$root
  hi <- if (est > 0) est * 1.5 else s0 * .3; while (h(hi) < 0) hi <- hi * 1.5
  list(estimate = est, lower = lower, upper = uniroot(h, c(max(est, 1e-9), hi), tol = 1e-11)$root)
}
unp <- function(f, reml, th, s) { f$dev(th); pp <- environment(f$dev)$pp; rs <- environment(f$dev)$resp; n <- nobs(f$m); p <- ncol(getME(f$m, "X"))
  pp$ldL2() + (if (reml) pp$ldRX2() else 0) + (pp$sqrL(1) + rs$wrss()) / s^2 + (if (reml) n - p else n) * log(2 * pi * s^2) - sum(log(weights(f$m))) }
terms_of <- function(m, theta) { cn <- getME(m, "cnms"); at <- 0; lapply(seq_along(cn), function(i) { k <- length(cn[[i]]); t <- theta[at + seq_len(k * (k + 1) / 2)]; at <<- at + k * (k + 1) / 2
  list(group = names(cn)[i], names = as.list(unname(cn[[i]])), theta = as.list(t)) }) }
components_of <- function(m) { cn <- getME(m, "cnms"); vc <- VarCorr(m); out <- list()
  for (i in seq_along(cn)) { sd <- attr(vc[[i]], "stddev"); r <- attr(vc[[i]], "correlation"); k <- length(sd)
    for (a in 1:k) out[[length(out) + 1]] <- list(group = names(cn)[i], name = cn[[i]][a], sd = unname(sd[a]))
    if (k > 1) for (a in 1:(k - 1)) for (b in (a + 1):k) out[[length(out) + 1]] <- list(group = names(cn)[i], name = cn[[i]][a], other = cn[[i]][b], correlation = if (is.nan(r[a, b])) 0 else r[a, b]) }
  out }
modes_of <- function(m, q, se, few = 6) { cn <- getME(m, "cnms"); fl <- getME(m, "flist"); as <- attr(fl, "assign"); gp <- getME(m, "Gp"); out <- list()
  total <- if (se) q$CV + q$K %*% q$P %*% t(q$K) else NULL
  for (i in seq_along(cn)) { k <- length(cn[[i]]); lv <- levels(fl[[as[i]]]); for (l in unique(c(seq_len(min(few, length(lv))), length(lv)))) for (a in 1:k) { at <- gp[i] + (l - 1) * k + a
    o <- list(group = names(cn)[i], level = lv[l], name = cn[[i]][a], estimate = if (se) q$u[at] else getME(m, "b")[at, 1])
    if (se) { o$sd <- sqrt(max(0, q$CV[at, at])); o$prediction_se <- sqrt(max(0, total[at, at])) }
    out[[length(out) + 1]] <- o } }
  out }
round_trip <- function(d) { f <- tempfile(); write.csv(d, f, row.names = FALSE, quote = FALSE); read.csv(f, stringsAsFactors = FALSE) }
save_data <- function(id, d) { name <- sprintf("stress_%s.csv", id); path <- file.path("data", name)
  if (nrow(d) > 4000) { name <- paste0(name, ".gz"); g <- gzfile(paste0(path, ".gz"), "w", compression = 9); write.csv(d, g, row.names = FALSE, quote = FALSE); close(g) } else write.csv(d, path, row.names = FALSE, quote = FALSE)
  name }

# ---- one case ----
add <- function(id, what, formula, d, factors = character(), weights = NULL, ml_only = FALSE, ml = TRUE, heavy = FALSE, kr = TRUE, profile = FALSE, contrasts = list(), at = NULL, data = NULL, layer = NULL, check_kr = is.null(weights)) {
  cat(id, "\n"); f0 <- as.formula(formula)
  file <- if (is.null(data)) save_data(id, d) else data
  d <- round_trip(d); for (v in factors) d[[v]] <- factor(d[[v]])
  w <- if (is.null(weights)) NULL else d[[weights]]
  inp <- list(data = file, formula = formula, factors = as.list(factors)); if (!is.null(weights)) inp$weights <- weights; if (ml_only) inp$ml <- TRUE; if (!is.null(layer)) inp$layer <- layer
  f <- polish(f0, d, !ml_only, w); m <- f$m; n <- nobs(m) # lFormula leaves its weights in the formula's environment, this one
  if (!is.null(at)) inp$at <- lapply(at, function(x) as.list(as.character(x)))
  names_x <- colnames(getME(m, "X"))
  want <- list(n = n, names = as.list(names_x), criterion = f$value - 0, sigma = sigma(m), terms = terms_of(m, f$theta), components = components_of(m), boundary = as.list(which(f$low == 0 & f$theta == 0) - 1))
  if (heavy) { want$beta <- fixef(m); want$se <- sqrt(diag(as.matrix(vcov(m)))); want$modes <- modes_of(m, NULL, FALSE) } else {
    q <- dense(m, if (is.null(w)) rep(1, n) else w)
    want$beta <- q$b; want$se <- sqrt(diag(q$P)); want$cov <- unname(q$P)
    stopifnot(max(abs(q$b - fixef(m)) / want$se) < 1e-6, max(abs(diag(q$P) / diag(as.matrix(vcov(m))) - 1)) < 1e-6)
    # the criterion again from V: log|V| + log|X'V-1X| + r'V-1r + (n-p) log 2pi
    p <- ncol(q$X); r <- q$y - q$X %*% q$b; c2 <- c(determinant(q$V)$modulus) + (if (ml_only) 0 else -c(determinant(q$P)$modulus)) + drop(t(r) %*% q$Vi %*% r) + (if (ml_only) n else n - p) * log(2 * pi)
    stopifnot(abs(c2 / want$criterion - 1) < 1e-8)
    want$modes <- modes_of(m, q, TRUE)
    fit <- drop(q$X %*% q$b + q$Z %*% q$u); want$fitted <- fit[1:6]; want$residuals <- (q$y - fit)[1:6]
  }
  want$beta <- unname(want$beta); want$se <- unname(want$se)
  if (length(f$dropped)) want$aliased <- as.list(names(f$dropped))
  I <- diag(length(names_x))
  st <- satterthwaite(f, !ml_only); want$satterthwaite <- apply(I, 1, st$df)
  if (!heavy && !ml_only && all(f$theta[f$low == 0] > 0)) { .data <<- d; .data$.w <<- if (is.null(w)) 1 else w; lt <- try(suppressMessages(lmerTest::as_lmerModLmerTest(lme4::lmer(f0, .data, weights = .w, start = f$theta, control = lmerControl(optimizer = NULL, calc.derivs = FALSE)))), silent = TRUE)
    if (!inherits(lt, "try-error")) cat(sprintf("   Satterthwaite against lmerTest: %.1e\n", max(abs(summary(lt)$coefficients[, "df"] / want$satterthwaite - 1)))) else cat("   lmerTest:", lt) }
  if (!heavy && kr && !ml_only) { K <- kenward(m, q); want$kenward_roger <- list(df = as.list(apply(I, 1, K$df)), se = as.list(unname(sqrt(diag(K$Pa)))))
    if (check_kr) { .data <<- d; a <- try(vcovAdj(m), silent = TRUE); if (!inherits(a, "try-error")) { e <- max(abs(sqrt(diag(as.matrix(a))) / sqrt(diag(K$Pa)) - 1)); dd <- sapply(seq_len(nrow(I)), function(i) Lb_ddf(I[i, ], as.matrix(vcov(m)), a)); e2 <- max(abs(dd / unlist(want$kenward_roger$df) - 1)); cat(sprintf("   Kenward-Roger against pbkrtest: se %.1e, df %.1e\n", e, e2)) } else cat("   pbkrtest: ", a) } }
  if (length(contrasts)) want$contrasts <- lapply(contrasts, function(l) { one <- function(se, df) { v <- sum(l * want$beta); t <- v / se; list(value = v, se = se, df = df, t = t, p = 2 * pt(-abs(t), df), lower = v - qt(.975, df) * se, upper = v + qt(.975, df) * se) }
    o <- list(l = l, satterthwaite = one(sqrt(drop(t(l) %*% q$P %*% l)), st$df(l))); if (!ml_only) o$kenward_roger <- one(sqrt(drop(t(l) %*% K$Pa %*% l)), K$df(l)); o })
  if (!is.null(at)) want$predictions <- predict_at(m, q, d, f0, at, factors)
  if (profile) { g <- list(); for (j in seq_along(f$theta)) { pr <- profile1(f, !ml_only, j); tm <- want$terms[[j]]; g[[j]] <- c(list(group = tm$group, name = tm$names[[1]]), pr) }
    g[[length(g) + 1]] <- c(list(group = "", name = "sigma"), profile1(f, !ml_only, 0)); want[[if (ml_only) "profile_ml_only" else "profile_reml"]] <- g; f$dev(f$theta) }
  if (ml && !ml_only) { h <- polish(f0, d, FALSE, w); want$ml <- list(criterion = h$value, sigma = sigma(h$m), theta = as.list(h$theta), beta = as.list(unname(fixef(h$m))), se = as.list(unname(sqrt(diag(as.matrix(vcov(h$m))))))) 
    if (profile) { g <- list(); for (j in seq_along(h$theta)) g[[j]] <- c(list(group = want$terms[[j]]$group, name = want$terms[[j]]$names[[1]]), profile1(h, FALSE, j)); g[[length(g) + 1]] <- c(list(group = "", name = "sigma"), profile1(h, FALSE, 0)); want$profile_ml <- g } }
  put(id, what, inp, want)
  invisible(f)
}
put <- function(id, what, inp, want, citation = versions) { for (k in c("beta", "se", "satterthwaite", "fitted", "residuals")) if (!is.null(want[[k]])) want[[k]] <- as.list(unname(want[[k]]))
  cases[[length(cases) + 1]] <<- list(id = id, what = what, source = list(kind = "software", citation = citation, locator = "stress.R beside this file"), input = inp, want = want, tol = list(rel = 1e-6, why = why)) }
# value x'b + z'u; se of it as a predictor of x'beta + z'b (Henderson 1975), where a level not in the fit adds its own variance;
# population: every level taken as one not in the fit
predict_at <- function(m, q, d, f0, at, factors) {
  nd <- as.data.frame(at, stringsAsFactors = FALSE); for (v in names(nd)) if (v %in% names(d) && is.factor(d[[v]]) && all(nd[[v]] %in% levels(d[[v]]))) nd[[v]] <- factor(nd[[v]], levels = levels(d[[v]]))
  X <- model.matrix(delete.response(terms(lme4::nobars(f0))), nd, xlev = lapply(Filter(function(x) is.factor(x) || is.character(x), d), function(x) levels(factor(x))))
  X <- X[, colnames(q$X), drop = FALSE]; cn <- getME(m, "cnms"); fl <- getME(m, "flist"); as <- attr(fl, "assign"); gp <- getME(m, "Gp"); Zn <- matrix(0, nrow(nd), ncol(q$Z)); extra <- numeric(nrow(nd)); everything <- extra
  for (i in seq_along(cn)) { g <- names(cn)[i]; parts <- strsplit(g, ":")[[1]]; key <- do.call(paste, c(lapply(parts, function(x) as.character(nd[[x]])), sep = ":")); lv <- levels(fl[[as[i]]]); k <- length(cn[[i]])
    zz <- sapply(cn[[i]], function(a) if (a == "(Intercept)") rep(1, nrow(nd)) else as.numeric(nd[[a]])); zz <- matrix(zz, nrow = nrow(nd)); at0 <- match(key, lv); S <- q$G[gp[i] + 1:k, gp[i] + 1:k, drop = FALSE]
    everything <- everything + rowSums((zz %*% S) * zz); for (r in seq_len(nrow(nd))) if (is.na(at0[r])) extra[r] <- extra[r] + drop(zz[r, ] %*% S %*% zz[r, ]) else Zn[r, gp[i] + (at0[r] - 1) * k + 1:k] <- zz[r, ] }
  D <- X - Zn %*% q$K; v <- rowSums((D %*% q$P) * D) + rowSums((Zn %*% q$CV) * Zn)
  val <- drop(X %*% q$b + Zn %*% q$u)
  lm4 <- predict(m, nd, allow.new.levels = TRUE); stopifnot(max(abs(lm4 - val)) < 1e-6 * sigma(m) + 1e-9 * max(abs(val)))
  list(value = as.list(unname(val)), se = as.list(unname(sqrt(v + extra))), se_new = as.list(unname(sqrt(v + extra + q$s2))),
    population = as.list(unname(drop(X %*% q$b))), population_se = as.list(unname(sqrt(rowSums((X %*% q$P) * X) + everything))))
}

# ---- data ----
crossed <- function(na, nb, keep, sa, sb, s, seed) { set.seed(seed); d <- expand.grid(a = lab("a", 1:na), b = lab("b", 1:nb), stringsAsFactors = FALSE); ea <- rnorm(na, 0, sa); eb <- rnorm(nb, 0, sb)
  d$x <- round(runif(nrow(d), 0, 10), 3); d$y <- round(4 - .12 * d$x + ea[match(d$a, unique(d$a))] + eb[match(d$b, unique(d$b))] + rnorm(nrow(d), 0, s), 4); d$w <- round(exp(rnorm(nrow(d), 0, .7)), 3)
  d[sort(sample(nrow(d), round(nrow(d) * keep))), ] }
d <- crossed(14, 11, .55, .5, .35, .4, 101)
add("crossed_unbalanced", "two crossed factors, 45 % of the cells empty", "y ~ x + (1 | a) + (1 | b)", d, profile = TRUE, contrasts = list(c(1, 5), c(0, 10)), at = list(x = c(0, 5, 10, 5, 5, 5), a = c("a01", "a02", "a14", "new", "a05", "new"), b = c("b01", "b02", "b11", "b03", "new", "new")))
add("crossed_weighted", "precision weights with crossed terms", "y ~ x + (1 | a) + (1 | b)", d, weights = "w", profile = TRUE, data = "stress_crossed_unbalanced.csv", contrasts = list(c(1, 5)), at = list(x = c(0, 5), a = c("a01", "new"), b = c("b01", "b02")))
add("crossed_ml", "maximum likelihood", "y ~ x + (1 | a) + (1 | b)", d, ml_only = TRUE, data = "stress_crossed_unbalanced.csv", contrasts = list(c(1, 5)))
d <- crossed(9, 7, 1, .5, .2, .4, 102); d <- d[rep(seq_len(nrow(d)), 3), ]; set.seed(7); d$y <- round(d$y + rnorm(63, 0, .3)[rep(1:63, 3)] + rnorm(nrow(d), 0, .3), 4); d <- d[sort(sample(nrow(d), 150)), ]
add("crossed_interaction", "crossed factors and their interaction, some cells once", "y ~ x + (1 | a) + (1 | b) + (1 | a:b)", d)

set.seed(103); d <- do.call(rbind, lapply(1:8, function(r) do.call(rbind, lapply(seq_len(1 + r %% 4), function(s) do.call(rbind, lapply(seq_len(1 + (r + s) %% 3), function(p) data.frame(region = lab("R", r), site = lab("s", s), plot = lab("p", p), k = seq_len(1 + (r * s + p) %% 4))))))))
key <- function(...) as.integer(factor(paste(...))); d$x <- round(rnorm(nrow(d)), 3); set.seed(104)
d$y <- round(10 + .8 * d$x + rnorm(99, 0, 1)[key(d$region)] + rnorm(99, 0, .7)[key(d$region, d$site)] + rnorm(199, 0, .5)[key(d$region, d$site, d$plot)] + rnorm(nrow(d), 0, .4), 4)
add("nested_three", "three nested levels, unbalanced", "y ~ x + (1 | region) + (1 | region:site) + (1 | region:site:plot)", d, profile = TRUE, at = list(x = c(0, 1, 1), region = c("R01", "R02", "R03"), site = c("s01", "s01", "new"), plot = c("p01", "new", "p01")))

set.seed(105); g <- rep(1:30, each = 8); u <- matrix(rnorm(90), 30) %*% chol(matrix(c(1, .3, -.2, .3, .5, .1, -.2, .1, .4), 3)); d <- data.frame(g = lab("g", g), x = round(rnorm(240), 3), z = round(rnorm(240), 3)); d$y <- round(2 + d$x - .5 * d$z + u[g, 1] + u[g, 2] * d$x + u[g, 3] * d$z + rnorm(240, 0, .6), 4); d <- d[sort(sample(240, 200)), ]
add("vector_three", "an intercept and two slopes, all correlated", "y ~ x + z + (x + z | g)", d, contrasts = list(c(0, 1, 1), c(1, 1, -1)), at = list(x = c(0, 1, 1), z = c(0, 1, 2), g = c("g01", "g30", "new")))
add("vector_three_uncorrelated", "the same effects without correlation", "y ~ x + z + (1 | g) + (0 + x | g) + (0 + z | g)", d, data = "stress_vector_three.csv", profile = TRUE)
add("slope_alone", "a random slope without a random intercept", "y ~ x + (0 + x | g)", d, data = "stress_vector_three.csv")

set.seed(106); d <- expand.grid(g = lab("g", 1:24), f = c("low", "mid", "top"), k = 1:3, stringsAsFactors = FALSE); gi <- as.integer(factor(d$g)); fi <- as.integer(factor(d$f)); u <- matrix(rnorm(72), 24) %*% chol(matrix(c(1, .6, .4, .6, 1.2, .7, .4, .7, 1.5), 3)); d$y <- round(c(3, 4, 6)[fi] + u[cbind(gi, fi)] + rnorm(nrow(d), 0, .7), 4); d <- d[sort(sample(nrow(d), 170)), c("g", "f", "y")]
add("factor_slopes", "effects of a factor that vary by group", "y ~ f + (f | g)", d, contrasts = list(c(0, -1, 1)))
add("factor_cells", "the same model with one effect a cell", "y ~ f + (0 + f | g)", d, data = "stress_factor_slopes.csv")

panel <- function(G, R, seed, sg = .4, st = .06, sr = .15, s = .3, miss = .15, years = FALSE, base = 0) { set.seed(seed); t <- if (years) round(seq(2015, 2026, length.out = R) * 4) / 4 else sort(round(runif(R, 0, 10), 2)); d <- expand.grid(round = lab("r", 1:R), green = lab("g", 1:G), stringsAsFactors = FALSE); ri <- as.integer(factor(d$round)); gi <- as.integer(factor(d$green)); d$t <- t[ri]
  d$y <- round(base + 5 - .1 * (d$t - if (years) 2020 else 0) + rnorm(G, 0, sg)[gi] + rnorm(G, 0, st)[gi] * (d$t - if (years) 2020 else 5) + rnorm(R, 0, sr)[ri] + rnorm(nrow(d), 0, s), 4); d$w <- round(1 / runif(nrow(d), .5, 2)^2, 4); d$s <- round(runif(nrow(d), .1, .4), 3); if (miss > 0) d <- d[sort(sample(nrow(d), round(nrow(d) * (1 - miss)))), ]; d }
d <- panel(15, 12, 107)
add("slope_crossed_weighted", "correlated slopes, crossed rounds and weights", "y ~ t + (t | green) + (1 | round)", d, weights = "w", at = list(t = c(0, 5, 12), green = c("g01", "g15", "new"), round = c("r01", "new", "new")))
add("slope_crossed", "correlated slopes and crossed rounds", "y ~ t + (t | green) + (1 | round)", d, data = "stress_slope_crossed_weighted.csv", contrasts = list(c(1, 10), c(0, 1)))
# badly placed origins: fitted about t0 and about a response less base, where double precision does well, and carried back
# exactly. The criterion does not change with the origin when intercept and slope are correlated, nor with fixed effects.
shifted <- function(id, what, d, formula_centred, formula, t0 = 0, base = 0, data = NULL) { cat(id, "\n"); file <- if (is.null(data)) save_data(id, d) else data; d <- round_trip(d); d$c <- d$t - t0; d$y <- d$y - base; one <- function(reml) { f <- polish(as.formula(formula_centred), d, reml); m <- f$m; q <- dense(m, rep(1, nrow(d))); A <- matrix(c(1, 0, -t0, 1), 2); s2 <- sigma(m)^2
    b <- drop(A %*% q$b) + c(base, 0); P <- A %*% q$P %*% t(A); cn <- getME(m, "cnms"); vc <- VarCorr(m); tm <- list(); cp <- list(); fl <- function(L) as.list(L[lower.tri(L, TRUE)])
    for (i in seq_along(cn)) { S <- matrix(as.numeric(vc[[i]]), length(cn[[i]])); if (nrow(S) == 2) S <- A %*% S %*% t(A); nm <- sub("^c$", "t", cn[[i]]); tm[[i]] <- list(group = names(cn)[i], names = as.list(nm), theta = fl(t(chol(S / s2)))); for (k in seq_along(nm)) cp[[length(cp) + 1]] <- list(group = names(cn)[i], name = nm[k], sd = sqrt(S[k, k])); if (nrow(S) == 2) cp[[length(cp) + 1]] <- list(group = names(cn)[i], name = nm[1], other = nm[2], correlation = S[1, 2] / sqrt(S[1, 1] * S[2, 2])) }
    list(f = f, m = m, q = q, A = A, b = b, P = P, tm = tm, cp = cp, fit = drop(q$X %*% q$b + q$Z %*% q$u)) }
  r <- one(TRUE); l <- one(FALSE); st <- satterthwaite(r$f, TRUE); K <- kenward(r$m, r$q); A <- r$A; Pa <- A %*% K$Pa %*% t(A)
  put(id, what, list(data = file, formula = formula, factors = list()), list(n = nrow(d), names = list("(Intercept)", "t"), criterion = r$f$value, sigma = sigma(r$m), terms = r$tm, components = r$cp, boundary = list(), beta = r$b, se = sqrt(diag(r$P)), fitted = base + r$fit[1:6], residuals = (r$q$y - r$fit)[1:6],
    satterthwaite = c(st$df(A[1, ]), st$df(A[2, ])), kenward_roger = list(df = c(K$df(A[1, ]), K$df(A[2, ])), se = sqrt(diag(Pa))), ml = list(criterion = l$f$value, sigma = sigma(l$m), theta = as.list(unlist(lapply(l$tm, `[[`, "theta"))), beta = l$b, se = sqrt(diag(l$P))))) }
shifted("large_offset", "a response near 1,000,000 that varies by tenths", panel(16, 9, 126, st = .1, base = 1e6), "y ~ t + (t | green)", "y ~ t + (t | green)", base = 1e6)
shifted("calendar_years", "a slope in calendar years 2015 to 2026, not centred", panel(12, 10, 109, st = .12, sr = 0, years = TRUE), "y ~ c + (c | green)", "y ~ t + (t | green)", t0 = 2020)
shifted("calendar_years_large_offset", "calendar years, not centred, and a response near 1,000,000", panel(14, 11, 110, st = .12, sr = 0, years = TRUE, base = 1e6), "y ~ c + (c | green)", "y ~ t + (t | green)", t0 = 2020, base = 1e6)
d <- panel(10, 12, 111, years = TRUE)
shifted("calendar_crossed", "calendar years, not centred, with crossed rounds", d, "y ~ c + (1 | green) + (1 | round)", "y ~ t + (1 | green) + (1 | round)", t0 = 2020)
add("calendar_square", "a square in years from 2020", "y ~ I(t - 2020) + I((t - 2020)^2) + (1 | green) + (1 | round)", d, data = "stress_calendar_crossed.csv", profile = TRUE)

for (seed in 1:400) { d <- crossed(12, 10, .7, .5, .06, .4, 2000 + seed); e <- round_trip(d); m <- suppressMessages(lme4::lmer(y ~ x + (1 | a) + (1 | b), e)); th <- getME(m, "theta"); if (th[2] > .015 && th[2] < .08) break }
add("nearly_singular", "a variance that is almost, but not, zero", "y ~ x + (1 | a) + (1 | b)", d, profile = TRUE)
for (seed in 1:400) { d <- crossed(12, 6, .8, .5, .01, .4, 3000 + seed); m <- suppressMessages(lme4::lmer(y ~ x + (1 | a) + (1 | b), round_trip(d))); if (getME(m, "theta")[2] < 1e-6) break }
add("singular_variance", "a variance of zero beside one that is not", "y ~ x + (1 | a) + (1 | b)", d, profile = TRUE)
for (seed in 1:400) { d <- crossed(8, 6, .8, .01, .01, .4, 4000 + seed); m <- suppressMessages(lme4::lmer(y ~ x + (1 | a) + (1 | b), round_trip(d))); if (all(getME(m, "theta") < 1e-6)) break }
add("singular_all", "both variances zero", "y ~ x + (1 | a) + (1 | b)", d)
for (seed in 1:400) { d <- panel(8, 6, 5000 + seed, st = .03, sr = 0); m <- suppressMessages(lme4::lmer(y ~ t + (t | green), round_trip(d))); th <- getME(m, "theta"); if (th[3] < 1e-5 && th[1] > .3 && abs(th[2]) > .03) break }
add("singular_correlation", "a correlation of one", "y ~ t + (t | green)", d)

set.seed(112); d <- data.frame(g = lab("g", c(1:30, rep(31:45, each = 4))), x = round(runif(90, 0, 5), 3)); d$y <- round(1 + .5 * d$x + rnorm(45, 0, .8)[as.integer(factor(d$g))] + rnorm(90, 0, .5), 4)
add("single_observations", "30 of 45 levels seen once", "y ~ x + (1 | g)", d, profile = TRUE)
set.seed(113); d <- data.frame(g = rep(c("one", "two"), 12), x = round(runif(24, 0, 5), 3)); d$y <- round(1 + .5 * d$x + c(0, 1.4)[as.integer(factor(d$g))] + rnorm(24, 0, .5), 4)
add("two_groups", "two groups only", "y ~ x + (1 | g)", d, profile = TRUE)
set.seed(114); d <- data.frame(g = lab("g", rep(1:4, each = 3)), f = rep(c("a", "b", "c"), 4), x = round(runif(12, 0, 5), 3)); d$y <- round(1 + .5 * d$x + rnorm(4, 0, .8)[as.integer(factor(d$g))] + rnorm(12, 0, .4), 4)
add("few_rows", "twelve rows and six coefficients", "y ~ x * f + (1 | g)", d)

set.seed(115); d <- data.frame(g = lab("g", rep(1:12, each = 8)), x1 = round(runif(96, 0, 5), 3), f = sample(c("a", "b", "c"), 96, TRUE)); d$x2 <- 2 * d$x1 + 1; d$fine <- paste0(d$f, ifelse(runif(96) < .5, 1, 2)); d$y <- round(1 + .5 * d$x1 + rnorm(12, 0, .6)[as.integer(factor(d$g))] + rnorm(96, 0, .4), 4)
add("rank_deficient_line", "a column that is a line of another", "y ~ x1 + x2 + f + (1 | g)", d)
add("rank_deficient_factors", "a factor inside another", "y ~ f + fine + (1 | g)", d, data = "stress_rank_deficient_line.csv")
set.seed(116); d <- expand.grid(g = lab("g", 1:10), f = c("a", "b", "c"), h = c("p", "q", "r", "s"), stringsAsFactors = FALSE); d <- d[!(d$f == "b" & d$h == "r") & !(d$f == "c" & d$h == "q"), ]; d <- d[sort(sample(nrow(d), 80)), ]; d$y <- round(3 + as.integer(factor(d$f)) * .3 + as.integer(factor(d$h)) * .2 + rnorm(10, 0, .6)[as.integer(factor(d$g))] + rnorm(80, 0, .4), 4)
add("empty_cells", "interaction of two factors with two empty cells", "y ~ f * h + (1 | g)", d)
set.seed(117); d <- data.frame(g = lab("g", rep(1:12, each = 6)), dose = rep(c(5, 10, 20), 24)); d$y <- round(2 + c(0, .5, .7)[as.integer(factor(d$dose))] + rnorm(12, 0, .6)[as.integer(factor(d$g))] + rnorm(72, 0, .4), 4)
add("number_as_factor", "numbers made a factor: 5 comes before 10", "y ~ factor(dose) + (1 | g)", d)

set.seed(118); d <- expand.grid(layer = c("0-20", "20-40", "40-60"), round = lab("r", 1:8), green = lab("g", 1:10), stringsAsFactors = FALSE); t <- sort(round(runif(8, 0, 6), 2)); L <- as.integer(factor(d$layer)); R <- as.integer(factor(d$round)); G <- as.integer(factor(d$green)); d$t <- t[R]
d$y <- round(c(5.6, 3.3, 1.9)[L] + c(-.12, -.04, .02)[L] * d$t + rnorm(10, 0, .4)[G] + rnorm(10, 0, .06)[G] * d$t + matrix(rnorm(30, 0, .25), 10)[cbind(G, L)] + rnorm(8, 0, .15)[R] + rnorm(nrow(d), 0, .3), 4); d$w <- round(1 / runif(nrow(d), .6, 1.6)^2, 4); d <- d[sort(sample(nrow(d), 190)), ]
add("layers_joint", "three layers together: slopes by layer, green, green within layer, round", "y ~ layer * t + (1 | green) + (0 + t | green) + (1 | green:layer) + (1 | round)", d, contrasts = list(c(0, 0, 0, 1, 1, 0), c(0, 0, 0, 1, 0, 1)))
add("layers_joint_weighted", "the same, correlated slopes and weights", "y ~ layer * t + (t | green) + (1 | green:layer) + (1 | round)", d, weights = "w", data = "stress_layers_joint.csv")

portfolio <- function(C, seed) { set.seed(seed); d <- do.call(rbind, lapply(seq_len(C), function(c) { G <- 3 + c %% 4; R <- 3 + c %% 5; t <- sort(round(runif(R, 0, 6), 2)); e <- expand.grid(layer = c("A", "B"), t = t, green = lab("g", seq_len(G)), stringsAsFactors = FALSE); e$course <- sprintf("c%03d", c); e }))
  ci <- as.integer(factor(d$course)); gi <- as.integer(factor(paste(d$course, d$green))); d$y <- round(ifelse(d$layer == "A", 5, 3) - .05 * d$t + rnorm(C, 0, .6)[ci] + rnorm(C, 0, .08)[ci] * d$t + rnorm(max(gi), 0, .4)[gi] + rnorm(nrow(d), 0, .35), 4); d$w <- round(1 / runif(nrow(d), .6, 1.6)^2, 4); d$s <- round(runif(nrow(d), .05, .3), 3); d[sort(sample(nrow(d), round(.9 * nrow(d)))), ] }
d <- portfolio(12, 119)
add("portfolio_small", "courses with greens inside, unbalanced", "y ~ t + layer + (t | course) + (1 | course:green)", d, at = list(t = c(0, 6, 6, 3), layer = c("A", "B", "A", "B"), course = c("c001", "c012", "c002", "new"), green = c("g01", "g02", "new", "g01")))
add("portfolio_small_weighted", "the same with weights", "y ~ t + layer + (t | course) + (1 | course:green)", d, weights = "w", data = "stress_portfolio_small.csv")
d <- portfolio(400, 120)
add("portfolio_large", "400 courses, about 16,000 rows", "y ~ t + layer + (t | course) + (1 | course:green)", d[, c("course", "green", "layer", "t", "y")], heavy = TRUE)
set.seed(121); n <- 12000; d <- data.frame(a = sprintf("a%03d", sample(400, n, TRUE)), b = lab("b", sample(30, n, TRUE)), x = round(rnorm(n), 2)); d$y <- round(3 + .2 * d$x + rnorm(400, 0, .5)[as.integer(factor(d$a))] + rnorm(30, 0, .3)[as.integer(factor(d$b))] + rnorm(n), 2)
add("crossed_large", "400 by 30 crossed levels, 12,000 rows", "y ~ x + (1 | a) + (1 | b)", d, heavy = TRUE)

# ---- intervals once more where those stored with the classic data and the panels stop short ----
d <- read.csv("data/oxide.csv"); lots <- c("Source", "Lot", "Wafer")
add("oxide_nested_intervals", "nested wafers: intervals with the inner minimum found", "Thickness ~ 1 + (1 | Lot) + (1 | Lot:Wafer)", d, factors = lots, profile = TRUE, data = "oxide.csv")
add("oxide_source_intervals", "nested wafers by source: intervals with the inner minimum found", "Thickness ~ Source + (1 | Lot) + (1 | Lot:Wafer)", d, factors = lots, profile = TRUE, data = "oxide.csv")
for (k in c("05", "06")) { d <- read.csv(sprintf("data/panel_%s.csv", k)); d <- d[d$layer == "0-20" & !is.na(d$value), ]
  add(sprintf("panel_%s_intervals", k), "panel with crossed rounds: intervals with the inner minimum found", "value ~ t + (1 | green) + (1 | round)", d, profile = TRUE, data = sprintf("panel_%s.csv", k), layer = "0-20") }

# ---- no random term: lm ----
ordinary <- function(id, what, formula, d, weights = NULL, data = NULL) { cat(id, "\n"); file <- if (is.null(data)) save_data(id, d) else data; d <- round_trip(d); d$.w <- if (is.null(weights)) rep(1, nrow(d)) else d[[weights]]; m <- lm(as.formula(formula), d, weights = .w); n <- nobs(m); p <- length(coef(m)); X <- model.matrix(m); s2 <- sum(d$.w * resid(m)^2) / (n - p)
  crit <- as.numeric((n - p) * log(2 * pi * s2) + (n - p) + determinant(crossprod(X * sqrt(d$.w)))$modulus - sum(log(d$.w))); inp <- list(data = file, formula = formula, factors = list()); if (!is.null(weights)) inp$weights <- weights
  stopifnot(abs(-2 * as.numeric(logLik(m, REML = TRUE)) / (crit - as.numeric(determinant(crossprod(X))$modulus) * 0) - 1) < 1e-8)
  put(id, what, inp, list(n = n, names = as.list(names(coef(m))), criterion = crit, sigma = sigma(m), terms = list(), components = list(), boundary = list(), beta = coef(m), se = sqrt(diag(vcov(m))), cov = unname(vcov(m)), fitted = fitted(m)[1:6], residuals = resid(m)[1:6], satterthwaite = rep(n - p, p), kenward_roger = list(df = rep(n - p, p), se = unname(sqrt(diag(vcov(m))))),
    ml = list(criterion = -2 * as.numeric(logLik(m)), sigma = sqrt(s2 * (n - p) / n), theta = list(), beta = unname(coef(m)), se = unname(sqrt(diag(vcov(m)) * (n - p) / n))))) }
ordinary("no_random_term", "ordinary least squares", "y ~ t * layer", d0 <- portfolio(5, 122))
ordinary("no_random_term_weighted", "weighted least squares", "y ~ t * layer", d0, weights = "w", data = "stress_no_random_term.csv")

# ---- known measurement variance: V = ZGZ' + s2 I + diag(s^2), optimised on the dense criterion ----
known <- function(id, what, formula, d, groups, slope = NULL, data = NULL, reml = TRUE) { cat(id, "\n"); file <- if (is.null(data)) save_data(id, d) else data; d <- round_trip(d); X <- model.matrix(lme4::nobars(as.formula(formula)), d); y <- d$y; n <- length(y); p <- ncol(X)
  key <- lapply(groups, function(g) factor(do.call(paste, c(lapply(strsplit(g, ":")[[1]], function(x) d[[x]]), sep = ":")))); Zs <- lapply(key, function(k) model.matrix(~ 0 + k)); K <- lapply(Zs, tcrossprod)
  crit <- function(v) { V <- Reduce(`+`, Map(`*`, K, v[seq_along(K)])) + diag(v[length(v)] + d$s^2); R <- chol(V); A <- backsolve(R, X, transpose = TRUE); z <- backsolve(R, y, transpose = TRUE); qq <- qr(A); r <- qr.resid(qq, z); 2 * sum(log(diag(R))) + 2 * sum(log(abs(diag(qr.R(qq))))) + sum(r^2) + (n - p) * log(2 * pi) }
  k <- length(K) + 1; best <- list(objective = Inf); for (s in list(rep(.1, k), rep(.5, k), c(rep(.05, k - 1), .3), c(rep(.5, k - 1), .01))) for (r in 1:3) { o <- nlminb(s, crit, lower = 0, control = list(rel.tol = 1e-15, x.tol = 1e-13)); s <- o$par; if (o$objective < best$objective) best <- o }
  v <- best$par; v[v < 1e-9] <- 0; free <- v > 0; g <- function(x) { u <- v; u[free] <- x; crit(u) }; for (i in 1:6) { st <- solve(hessian(g, v[free]), grad(g, v[free])); v[free] <- v[free] - st; if (max(abs(st)) < 1e-12) break }; cat(sprintf("   criterion %.12g (start %.12g) variances %s step %.1e\n", crit(v), best$objective, paste(signif(v, 8), collapse = " "), max(abs(st))))
  V <- Reduce(`+`, Map(`*`, K, v[seq_along(K)])) + diag(v[k] + d$s^2); Vi <- solve(V); P <- solve(t(X) %*% Vi %*% X); b <- drop(P %*% t(X) %*% Vi %*% y); r <- y - X %*% b
  md <- list(); for (i in seq_along(groups)) { Zi <- Zs[[i]]; u <- v[i] * crossprod(Zi, Vi %*% r); C <- diag(v[i], ncol(Zi)) - v[i]^2 * crossprod(Zi, Vi %*% Zi); M <- v[i] * crossprod(Zi, Vi %*% X); T <- C + M %*% P %*% t(M); for (l in 1:min(6, ncol(Zi))) md[[length(md) + 1]] <- list(group = groups[i], level = levels(key[[i]])[l], name = "(Intercept)", estimate = u[l], sd = sqrt(max(0, C[l, l])), prediction_se = sqrt(max(0, T[l, l]))) }
  o <- order(-sapply(Zs, ncol)); H <- hessian(g, v[free]); J <- jacobian(function(x) { u <- v; u[free] <- x; V <- Reduce(`+`, Map(`*`, K, u[seq_along(K)])) + diag(u[k] + d$s^2); diag(solve(t(X) %*% solve(V, X))) }, v[free])
  df <- sapply(seq_len(p), function(i) 2 * P[i, i]^2 / drop(J[i, , drop = FALSE] %*% (2 * solve(H)) %*% t(J[i, , drop = FALSE])))
  if (requireNamespace("metafor", quietly = TRUE)) { d$.id <- seq_len(n); e <- d; for (i in seq_along(groups)) e[[paste0("k", i)]] <- key[[i]]; rn <- lapply(c(paste0("k", seq_along(groups)), ".id"), function(g) as.formula(paste("~ 1 |", g))); mf <- try(metafor::rma.mv(y, V = e$s^2, mods = X[, -1, drop = FALSE], random = rn, data = e, control = list(rel.tol = 1e-10)), silent = TRUE); if (inherits(mf, "try-error")) cat("   metafor:", mf) else cat(sprintf("   metafor: criterion off by %.1e, coefficients %.1e, standard errors %.1e\n", -2 * as.numeric(logLik(mf)) + as.numeric(determinant(crossprod(X))$modulus) - crit(v), max(abs(mf$beta - b)), max(abs(mf$se / sqrt(diag(P)) - 1)))) }
  put(id, what, list(data = file, formula = formula, factors = list(), known_sd = "s"), list(n = n, names = as.list(colnames(X)), criterion = crit(v), sigma = sqrt(v[k]), terms = lapply(o, function(i) list(group = groups[i], names = list("(Intercept)"), theta = list(sqrt(v[i])))), components = lapply(o, function(i) list(group = groups[i], name = "(Intercept)", sd = sqrt(v[i]))), zero = as.list(c(groups, "resid")[v == 0]), beta = b, se = sqrt(diag(P)), cov = unname(P), modes = md, satterthwaite = df), paste("dense criterion in R", R.version$major, R.version$minor)) }
known("known_sd_crossed", "known measurement variance beside an estimated residual, crossed terms", "y ~ t + (1 | green) + (1 | round)", panel(12, 9, 123), c("green", "round"))
known("known_sd_nested", "known measurement variance, greens in courses", "y ~ t + layer + (1 | course) + (1 | course:green)", portfolio(10, 124), c("course", "course:green"))
set.seed(125); d <- panel(10, 8, 125, s = .05); d$s <- round(d$s + .15, 3)
known("known_sd_no_residual", "measurement variance that explains all of the scatter", "y ~ t + (1 | green) + (1 | round)", d, c("green", "round"))

out <- vapply(cases, function(c) as.character(toJSON(c, auto_unbox = TRUE, digits = NA, null = "null")), "")
writeLines(paste0("[\n", paste(out, collapse = ",\n"), "\n]"), "stress.json")
cat(length(cases), "cases\n"); print(warnings())
