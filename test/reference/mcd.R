# Deterministic and random-start MCD and small-sample factors of robustbase, beyond robust.R: alpha 0.75 and a made-up sample.
source("common.R"); suppressPackageStartupMessages(library(robustbase))
set.seed(5); X <- matrix(rnorm(120 * 5), 120) %*% chol(0.5 + diag(5)); X[1:20, ] <- X[1:20, ] + rep(c(4, 0, -4, 2, 0), each = 20); X <- round(X, 4)
write.csv(X, "data/shifted120.csv", row.names = FALSE)
one <- function(X, alpha) { set.seed(1); r <- covMcd(X, alpha = alpha, nsamp = 5000); d <- covMcd(X, alpha = alpha, nsamp = "deterministic")
  list(alpha = alpha, h = r$quan, crit_logdet_random = r$crit, crit_logdet_deterministic = d$crit, best = d$best, center = unname(d$center), cov = unname(d$cov), raw_center = unname(d$raw.center), raw_cov = unname(d$raw.cov), raw_cnp2 = d$raw.cnp2, cnp2 = d$cnp2, weights = unname(d$mcd.wt), mah = unname(d$mah)) }
hx <- data.matrix(read.csv("data/hbk.csv")[, 1:3]); sx <- data.matrix(read.csv("data/stackloss.csv")[, 1:3])
g <- expand.grid(p = 1:7, n = c(20, 75, 400), alpha = c(.6, .75, .875, .95)); f <- function(fun) mapply(fun, g$p, g$n, g$alpha)
W(list(meta = meta("robustbase"), mcd = list(hbk = one(hx, .75), stackloss = one(sx, .75), shifted120 = one(X, .75), shifted120_half = one(X, .5)),
  factors = list(p = g$p, n = g$n, alpha = g$alpha, raw = f(robustbase:::.MCDcnp2), reweighted = f(robustbase:::.MCDcnp2.rew), consistency = mapply(function(p, a) robustbase:::.MCDcons(p, a), g$p, g$alpha))), "mcd.json")
