// Makes the elements and texts that a program describes (package viewer/dom), so that many cost
// it one call. Each item ends with a zero: "<" and a tag, "=" and an attribute's name, then its
// value, "'" and a text, ">" at the end of an element. Returns all of them in that order; only
// those inside another one are put anywhere. A text stays a text: nothing is parsed as markup.
function makeNodes(description) {
  const made = [], open = [];
  const items = description.split("\0");
  for (let i = 0; i < items.length - 1; i++) {
    const word = items[i].slice(1);
    let node = null;
    switch (items[i][0]) {
      case "=": {
        const value = items[++i];
        // The page's policy forbids the attribute style itself.
        if (word === "style") open.at(-1).style.cssText = value;
        else open.at(-1).setAttribute(word, value);
        continue;
      }
      case ">":
        node = open.pop();
        // A range that got its value before its ends may have cut it.
        if (node.type === "range") node.value = node.getAttribute("value");
        continue;
      case "<":
        node = document.createElement(word);
        break;
      default:
        node = document.createTextNode(word);
    }
    made.push(node);
    if (open.length > 0) open.at(-1).append(node);
    if (node.nodeType === Node.ELEMENT_NODE) open.push(node);
  }
  return made;
}

// Changes elements of a list as a program describes it (package viewer/dom): the place of one,
// the name of an attribute or nothing for the text that it begins with, and the value; each of
// the three ends with a zero.
function changeNodes(elements, description) {
  const items = description.split("\0");
  for (let i = 0; i + 2 < items.length; i += 3) {
    const element = elements[items[i]], name = items[i + 1], value = items[i + 2];
    if (name === "") element.firstChild.data = value;
    else element.setAttribute(name, value);
  }
}
