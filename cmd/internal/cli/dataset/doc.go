// Package dataset reads a folder of text while others may change it, and writes into
// folders whole files, all of them or none.
//
// [Open] gives a [Folder], which is an [io/fs.FS] for the pipeline: it follows no
// link out of the dataset, and [Folder.Unchanged] tells before anything is written
// whether what was read is still there. [Write] puts files in place through a stage,
// [Product.Replace] a whole folder at once, and [ReadOutside] reads a file that is not
// part of a dataset. The package knows nothing of what the files hold.
package dataset
