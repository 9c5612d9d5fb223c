# What a joint mixed model reaches on the simulated chains when it is told which tests are good. Run by hand:
#   node test/simulator/run.mjs exportReference --to FOLDER --seeds 20
#   Rscript test/simulator/reference-fit.R FOLDER test/simulator/reference-fit.json
suppressPackageStartupMessages({ library(lme4); library(splines) })
options(digits = 15)
arguments <- commandArgs(trailingOnly = TRUE)
folder <- arguments[1]
seeds <- sort(as.integer(sub("base-(.*)[.]csv", "\\1", list.files(folder, "^base-.*[.]csv$"))))

# each fit starts from the relative SDs of the one before: the same optimum in fewer steps
start <- NULL
fit_one <- function(seed) {
  d <- read.csv(file.path(folder, paste0("base-", seed, ".csv")), colClasses = c(item = "character"))
  for (name in c("store", "cutter", "item", "grade", "supplier", "lot", "month")) d[[name]] <- factor(d[[name]])
  d$grade <- relevel(d$grade, "Choice")
  usual <- tapply(d$weight, d$item, median)
  d$w <- d$weight / usual[as.character(d$item)]
  seconds <- system.time(
    fit <- lmer(saleable ~ item * (grade + ns(w, 3)) + month + (1 | cutter) + (1 | cutter:item) + (1 | store) +
                  (1 | store:item) + (1 | supplier) + (1 | lot), data = d, REML = TRUE,
                start = start, control = lmerControl(calc.derivs = FALSE))
  )[["elapsed"]]
  start <<- getME(fit, "theta")
  message("seed ", seed, ": ", round(seconds, 1), " s, REML criterion ", format(REMLcrit(fit), digits = 12))
  effects <- ranef(fit, condVar = TRUE)
  own <- function(name, key) effects[[name]][key, 1]
  variance <- function(name, key) attr(effects[[name]], "postVar")[1, 1, ][match(key, rownames(effects[[name]]))]
  cells <- unique(d[c("cutter", "item", "truth")])
  cell <- paste(cells$cutter, cells$item, sep = ":")
  effect <- own("cutter", as.character(cells$cutter)) + own("cutter:item", cell)
  # the two parts taken as independent, as a plain reading of the output would
  sd <- sqrt(variance("cutter", as.character(cells$cutter)) + variance("cutter:item", cell))
  list(seed = seed, tests = nrow(d), cells = nrow(cells),
       squared_error = sum((effect - cells$truth)^2),
       spearman = cor(effect, cells$truth, method = "spearman"),
       covered = sum(abs(effect - cells$truth) <= qnorm(0.975) * sd),
       seconds = seconds)
}
results <- lapply(seeds, fit_one)
of <- function(name) vapply(results, function(one) as.numeric(one[[name]]), 0)
quote <- function(x) paste0("\"", x, "\"")
line <- function(one) paste0("  {", paste(paste0(quote(names(one)), ": ", vapply(one, function(x) format(x, digits = 12), "")), collapse = ", "), "}")
text <- c("{",
  paste0(" \"about\": \"lmer given the true error labels, base variant; made by reference-fit.R\","),
  paste0(" \"R\": ", quote(paste(R.version$major, R.version$minor, sep = ".")), ","),
  paste0(" \"lme4\": ", quote(as.character(packageVersion("lme4"))), ","),
  paste0(" \"sha256_of_seed_1\": ", quote(strsplit(system2("sha256sum", file.path(folder, "base-1.csv"), stdout = TRUE), " ")[[1]][1]), ","),
  paste0(" \"rmse\": ", format(sqrt(sum(of("squared_error")) / sum(of("cells"))), digits = 8), ","),
  paste0(" \"spearman\": ", format(mean(of("spearman")), digits = 8), ","),
  paste0(" \"coverage\": ", format(sum(of("covered")) / sum(of("cells")), digits = 8), ","),
  " \"seeds\": [", paste(vapply(results, line, ""), collapse = ",\n"), " ]", "}")
writeLines(text, arguments[2])
