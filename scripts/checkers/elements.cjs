// How the tests check what the explorer has put on its page: what the HTML
// standard asks of the document; how its text would best be written means nothing
// for what never was text.
module.exports = {
  root: true,
  extends: ["html-validate:standard"],
};
