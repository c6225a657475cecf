# Values of seattle.json from the series alone: R 4.x base and stats, run in this folder.
d <- read.csv("../seattle-weather.csv")
day <- as.integer(as.Date(d$date))
t <- (d$temp_min + d$temp_max) / 2
harmonics <- function(day) {
  x <- 2 * pi * day / 365.25
  cbind(1, cos(x), sin(x), cos(2 * x), sin(2 * x))
}
p <- function(...) cat(sprintf("%.9g", c(...)), "\n")
cat("monthly means\n");           p(tapply(t, substr(d$date, 6, 7), mean))
cat("cool, warm, by year\n")
for (y in 2012:2015) {
  u <- t[substr(d$date, 1, 4) == y]
  p(sum(exp(-0.5 * ((u - 20) / 5.5)^2)), sum(exp(-0.5 * ((u - 31) / 7)^2)))
}
f <- lm.fit(harmonics(day), t)
usual <- function(f, s) harmonics(as.integer(as.Date(s))) %*% f$coefficients
cat("usual\n");                   p(usual(f, c("2014-01-15", "2014-04-15", "2014-07-15", "2014-10-15")))
cat("rest of the days\n");        p(sqrt(mean(f$residuals^2)))
cat("holes: 20 days every 97, from the 31st day on\n")
out <- (seq_along(t) - 1) %% 97 >= 30 & (seq_along(t) - 1) %% 97 < 50
g <- lm.fit(harmonics(day[!out]), t[!out])
e <- as.vector(harmonics(day[out]) %*% g$coefficients) - t[out]
p(sum(out), sqrt(mean(e^2)), mean(e))
