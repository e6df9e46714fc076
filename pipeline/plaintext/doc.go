// Package plaintext reads a dataset folder into trial values and writes them
// back in canonical form.
//
// Its opinions: a file is read strictly or not at all, so that a misspelt
// column is an error and not a column of blanks; every problem of every file is
// reported in one run, with file, line and column and what to do; a blank cell
// is missing, never zero; and what is written has one form only, so that
// reading and writing again changes no byte. What is strict for [Read] is
// mended by [Folder.Tidy] wherever that loses nothing: line ends, the byte
// order mark, blanks around a cell, the order of rows and columns, and the
// number of decimals.
//
// The package is pure: it reads through an fs.FS and holds no YAML parser. The
// subpackage yamltext supplies the [Documents] function for YAML; the viewer
// uses [ReadJSON], which reads the JSON twins that publishing writes.
package plaintext
