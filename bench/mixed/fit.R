# One measurement with lme4: Rscript --vanilla fit.R WHAT FILE FORMULA [N]
#   whole   read the table, fit, print the summary: timed from outside as a whole process
#   inner   read the table, fit N times after one that is not counted, print the seconds of one fit (mean over the N)
#   large   read the table, fit once; print seconds of reading and of fitting, and the criterion
suppressPackageStartupMessages(library(lme4))
a <- commandArgs(TRUE)
reading <- system.time(d <- read.csv(a[2], stringsAsFactors = TRUE))[["elapsed"]]
if ("Subject" %in% names(d)) d$Subject <- factor(d$Subject)
fit <- function() suppressMessages(lmer(as.formula(a[3]), d))
if (a[1] == "whole") print(summary(fit()))
if (a[1] == "inner") {
  m <- fit()
  t <- system.time(for (i in seq_len(as.integer(a[4]))) fit(), gcFirst = FALSE)[["elapsed"]] / as.integer(a[4])
  cat(t, format(REMLcrit(m), digits = 14), "\n")
}
if (a[1] == "large") {
  fitting <- system.time(m <- fit())[["elapsed"]]
  cat(reading, fitting, format(REMLcrit(m), digits = 14), "\n")
}
