// Nothing is asked of another host: the reader's own check of a contract is off.
SwaggerUIBundle({
  url: "/openapi.json",
  domNode: document.getElementById("reader"),
  validatorUrl: null,
  defaultModelsExpandDepth: -1,
  docExpansion: "list",
  syntaxHighlight: false,
});
