# Reads a test folder with base R and nothing of Meniscus, and holds every table against what
# datapackage.json says of it:  Rscript read_test_folder.R demo/after
folder <- commandArgs(trailingOnly = TRUE)[1]

# Base R has no JSON reader; jsonlite::fromJSON would do this in one line.
json <- function(file) {
  text <- paste(readLines(file, encoding = "UTF-8"), collapse = "\n")
  token <- "\"(\\\\.|[^\"\\\\])*\"|[][{}:,]|[^][{}:,\"[:space:]]+"
  tokens <- regmatches(text, gregexpr(token, text, perl = TRUE))[[1]]
  at <- 0
  read <- function() {
    at <<- at + 1
    found <- tokens[at]
    if (found == "{" || found == "[") {
      all <- list()
      while (!tokens[at + 1] %in% c("}", "]")) {
        if (tokens[at + 1] == ",") at <<- at + 1
        if (found == "[") {
          all[[length(all) + 1]] <- read()
        } else {
          name <- read()
          at <<- at + 1
          all[[name]] <- read()
        }
      }
      at <<- at + 1
      return(all)
    }
    if (startsWith(found, "\"")) return(eval(parse(text = gsub("\\/", "/", found, fixed = TRUE))))
    switch(found, true = TRUE, false = FALSE, null = NA, as.numeric(found))
  }
  read()
}

classes <- c(string = "character", datetime = "character", number = "numeric",
             integer = "numeric", boolean = "character")

package <- json(file.path(folder, "datapackage.json"))
for (resource in package$resources) {
  file <- file.path(folder, resource$path)
  stopifnot(file.size(file) == resource$bytes)
  if (is.null(resource$type)) next
  names <- vapply(resource$schema$fields, function(f) f$name, "")
  types <- vapply(resource$schema$fields, function(f) f$type, "")
  units <- vapply(resource$schema$fields, function(f) if (is.null(f$unit)) "" else f$unit, "")
  table <- read.csv(file, check.names = FALSE, encoding = "UTF-8", na.strings = c("", "NaN"),
                    colClasses = unname(classes[types]))
  stopifnot(identical(names(table), names), nrow(table) == resource$rows)
  for (i in which(types == "boolean")) table[[i]] <- table[[i]] == "true"
  for (i in which(types == "datetime")) {
    table[[i]] <- as.POSIXct(table[[i]], format = "%Y-%m-%dT%H:%M:%OSZ", tz = "UTC")
    stopifnot(!anyNA(table[[i]]))
  }
  cat(sprintf("%-8s %6d rows, %2d columns read\n", resource$name, nrow(table), ncol(table)))
  if (resource$name == "points") {
    cat(sprintf("mean flow %.6f %s\n", mean(table$flow), units[names == "flow"]))
  }
}
