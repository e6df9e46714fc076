// How the tests check the markup of every page: all recommended rules but these.
module.exports = {
  root: true,
  extends: ["html-validate:recommended"],
  rules: {
    "long-title": "off", // a page's title ends in the dataset's, which is its author's to choose
  },
};
