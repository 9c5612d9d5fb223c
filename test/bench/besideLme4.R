# The fit of besideLme4.mjs by lme4 (developed with R 4.2.2, lme4 1.1-31; reference BLAS). Arguments: folder, rows, columns.
# Reads y.f64, x.f64 (columns after each other) and cutter.i32, store.i32, supplier.i32; prints seconds of work and the criterion.
suppressMessages(library(lme4))
arguments <- commandArgs(trailingOnly = TRUE)
folder <- arguments[1]; n <- as.integer(arguments[2]); p <- as.integer(arguments[3])
numbers <- function(name, count) readBin(file.path(folder, name), "double", count)
codes <- function(name) factor(readBin(file.path(folder, name), "integer", n))
x <- matrix(numbers("x.f64", n * p), n)[, -1, drop = FALSE]
rows <- data.frame(y = numbers("y.f64", n), cutter = codes("cutter.i32"), store = codes("store.i32"), supplier = codes("supplier.i32"))
rows$x <- x
work <- function(times) times[["user.self"]] + times[["sys.self"]]
fitting <- work(system.time(fit <- lmer(y ~ x + (1 | cutter) + (1 | store) + (1 | supplier), rows,
  control = lmerControl(calc.derivs = FALSE))))
effects <- work(system.time(ranef(fit, condVar = TRUE)))
cat(sprintf('{"fit":%.3f,"effects":%.3f,"criterion":%.9f,"r":"%s","lme4":"%s"}\n',
  fitting, effects, REMLcrit(fit), as.character(getRversion()), as.character(packageVersion("lme4"))))
