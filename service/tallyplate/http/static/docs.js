// Shows the OpenAPI document of the service that served this page; nothing is loaded from elsewhere.
window.ui = SwaggerUIBundle({ url: "/openapi.json", dom_id: "#interface", validatorUrl: null });
