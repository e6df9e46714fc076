// Package export is the program soletrial-export: it writes the samples of one or many
// datasets as tables for other programs, either Parquet files in folders that name their
// dataset, runner, session and device (Hive partitions), or one flat table.
//
// [Main] runs it. The order: every dataset is read and checked as the program soletrial does;
// what is written goes under another name first, is read back and compared cell by cell, and
// only then takes its place, all of it or nothing. The same datasets give the same bytes.
package export
