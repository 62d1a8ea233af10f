//! The conversation: requests are answered, texts kept, mistakes told when typing pauses.

use crate::document::Document;
use crate::include::{self, Files};
use crate::names::View;
use crate::{completion, definition, diagnostics, format, hover, rename, symbols};
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, RequestId, Response};
use lsp_types::{
    CompletionOptions, DidChangeTextDocumentParams, DidCloseTextDocumentParams, DidOpenTextDocumentParams,
    DocumentFormattingParams, DocumentSymbolParams, HoverProviderCapability, InitializeResult, OneOf,
    PublishDiagnosticsParams, RenameParams, ServerCapabilities, ServerInfo, TextDocumentPositionParams,
    TextDocumentSyncCapability, TextDocumentSyncKind, Uri,
};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// Mistakes are told once nothing has been typed for so long.
const PAUSE: Duration = Duration::from_millis(80);

/// How a conversation ended. The protocol gives the first exit code 0 and the second exit code 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The editor asked to shut down, then to exit.
    Regular,
    /// It went away without asking.
    Irregular,
}

/// Speaks with an editor over standard input and output until it leaves.
///
/// # Errors
/// When what arrives is no message of the protocol, or nothing can be written.
pub fn serve() -> std::io::Result<Ending> {
    let (connection, threads) = Connection::stdio();
    let ending = converse(&connection);
    drop(connection);
    match ending {
        Some(ending) => threads.join().map(|()| ending),
        // The reader may wait for ever for an editor that no longer listens.
        None => Ok(Ending::Irregular),
    }
}

/// `None` where the editor no longer listens.
fn converse(connection: &Connection) -> Option<Ending> {
    let mut server =
        Server { connection, stage: Stage::Fresh, documents: BTreeMap::new(), changed: BTreeSet::new() };
    loop {
        let message = if server.changed.is_empty() {
            connection.receiver.recv().ok()
        } else {
            match connection.receiver.recv_timeout(PAUSE) {
                Ok(message) => Some(message),
                Err(error) if error.is_timeout() => {
                    server.tell_mistakes()?;
                    continue;
                }
                Err(_) => None,
            }
        };
        match message {
            None => return Some(Ending::Irregular),
            Some(Message::Request(request)) => server.request(request)?,
            Some(Message::Notification(notification)) if notification.method == "exit" => {
                let asked = server.stage == Stage::ShutDown;
                return Some(if asked { Ending::Regular } else { Ending::Irregular });
            }
            Some(Message::Notification(notification)) => server.notification(notification)?,
            // The server asks nothing, so there is nothing to be answered.
            Some(Message::Response(_)) => {}
        }
    }
}

/// How far the conversation is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    Fresh,
    Running,
    ShutDown,
}

struct Server<'a> {
    connection: &'a Connection,
    stage: Stage,
    /// The open texts by their address.
    documents: BTreeMap<String, Document>,
    /// Addresses of texts that have changed since their mistakes were told.
    changed: BTreeSet<String>,
}

/// Why a request is refused.
type Refusal = (ErrorCode, String);

impl Server<'_> {
    fn request(&mut self, request: Request) -> Option<()> {
        let id = request.id.clone();
        let answer = self.answer(request);
        self.send(match answer {
            Ok(value) => Response::new_ok(id, value).into(),
            Err((code, message)) => refused(id, code, message),
        })
    }

    fn answer(&mut self, request: Request) -> Result<Value, Refusal> {
        match (self.stage, request.method.as_str()) {
            (Stage::Fresh, "initialize") => {
                self.stage = Stage::Running;
                to_value(abilities())
            }
            (Stage::Fresh, _) => {
                Err((ErrorCode::ServerNotInitialized, "expected `initialize` first".to_owned()))
            }
            (Stage::ShutDown, _) => {
                Err((ErrorCode::InvalidRequest, "the server has been shut down".to_owned()))
            }
            (Stage::Running, "initialize") => {
                Err((ErrorCode::InvalidRequest, "the server is initialized already".to_owned()))
            }
            (Stage::Running, "shutdown") => {
                self.stage = Stage::ShutDown;
                Ok(Value::Null)
            }
            (Stage::Running, _) => self.feature(request),
        }
    }

    fn feature(&self, request: Request) -> Result<Value, Refusal> {
        let with_included = |uri: &Uri| {
            let document = self.document(uri)?;
            Ok((document, include::included(document, &Files(&self.documents))))
        };
        let at_place = |params| {
            let params: TextDocumentPositionParams = read(params)?;
            let (own, included) = with_included(&params.text_document.uri)?;
            Ok((own, included, params.position))
        };
        match request.method.as_str() {
            "textDocument/completion" => {
                let (own, included, position) = at_place(request.params)?;
                to_value(completion::completion(View { own, included: &included }, position))
            }
            "textDocument/hover" => {
                let (own, included, position) = at_place(request.params)?;
                to_value(hover::hover(View { own, included: &included }, position))
            }
            "textDocument/definition" => {
                let (own, included, position) = at_place(request.params)?;
                to_value(definition::definition(View { own, included: &included }, position))
            }
            "textDocument/rename" => {
                let params: RenameParams = read(request.params)?;
                let (at, files) = (params.text_document_position, Files(&self.documents));
                let (own, included) = with_included(&at.text_document.uri)?;
                let view = View { own, included: &included };
                let edits = rename::rename(view, at.position, &params.new_name, &files);
                to_value(edits.map_err(|told| (ErrorCode::RequestFailed, told))?)
            }
            "textDocument/documentSymbol" => {
                let params: DocumentSymbolParams = read(request.params)?;
                to_value(symbols::symbols(self.document(&params.text_document.uri)?))
            }
            "textDocument/formatting" => {
                let params: DocumentFormattingParams = read(request.params)?;
                let edits = format::format(self.document(&params.text_document.uri)?);
                to_value(edits.map_err(|told| (ErrorCode::RequestFailed, told))?)
            }
            method => Err((ErrorCode::MethodNotFound, format!("`{method}` is not known here"))),
        }
    }

    fn document(&self, uri: &Uri) -> Result<&Document, Refusal> {
        let found = self.documents.get(uri.as_str());
        found.ok_or_else(|| (ErrorCode::InvalidParams, format!("{} is not open", uri.as_str())))
    }

    /// One that can't be read, or comes at the wrong time, is passed over: the protocol knows no answer to it.
    fn notification(&mut self, notification: Notification) -> Option<()> {
        if self.stage != Stage::Running {
            return Some(());
        }
        let Notification { method, params } = notification;
        match method.as_str() {
            "textDocument/didOpen" => {
                if let Ok(params) = read::<DidOpenTextDocumentParams>(params) {
                    let opened = params.text_document;
                    self.keep(opened.uri, opened.version, opened.text);
                }
            }
            "textDocument/didChange" => {
                if let Ok(params) = read(params) {
                    self.change(params);
                }
            }
            "textDocument/didClose" => {
                if let Ok(params) = read::<DidCloseTextDocumentParams>(params) {
                    let uri = params.text_document.uri;
                    self.documents.remove(uri.as_str());
                    self.changed.remove(uri.as_str());
                    return self.publish(PublishDiagnosticsParams::new(uri, Vec::new(), None));
                }
            }
            _ => {}
        }
        Some(())
    }

    fn keep(&mut self, uri: Uri, version: i32, text: String) {
        self.put(Document::new(uri, version, text));
    }

    /// Any other text may include this one.
    fn put(&mut self, document: Document) {
        self.documents.insert(document.uri.as_str().to_owned(), document);
        self.changed.extend(self.documents.keys().cloned());
    }

    /// Whole texts are what the server asks for; a part with its range is put in its place all the same.
    fn change(&mut self, params: DidChangeTextDocumentParams) {
        let (uri, version) = (params.text_document.uri, params.text_document.version);
        let Some(mut document) = self.documents.remove(uri.as_str()) else { return };
        for change in params.content_changes {
            let text = match change.range {
                None => change.text,
                Some(range) => {
                    let (start, end) = (document.byte(range.start), document.byte(range.end));
                    let mut text = document.source.text;
                    text.replace_range(start..end.max(start), &change.text);
                    text
                }
            };
            document = Document::new(uri.clone(), version, text);
        }
        self.put(document);
    }

    fn tell_mistakes(&mut self) -> Option<()> {
        for name in std::mem::take(&mut self.changed) {
            if let Some(document) = self.documents.get(&name) {
                let found = diagnostics::diagnostics(document, &Files(&self.documents));
                let version = Some(document.version);
                self.publish(PublishDiagnosticsParams::new(document.uri.clone(), found, version))?;
            }
        }
        Some(())
    }

    fn publish(&self, params: PublishDiagnosticsParams) -> Option<()> {
        self.send(Notification::new("textDocument/publishDiagnostics".to_owned(), params).into())
    }

    fn send(&self, message: Message) -> Option<()> {
        self.connection.sender.send(message).ok()
    }
}

/// What the server can do.
fn abilities() -> InitializeResult {
    let completion = CompletionOptions {
        trigger_characters: Some([" ", ".", "(", "[", ","].map(str::to_owned).to_vec()),
        ..CompletionOptions::default()
    };
    let capabilities = ServerCapabilities {
        text_document_sync: Some(TextDocumentSyncCapability::Kind(TextDocumentSyncKind::FULL)),
        completion_provider: Some(completion),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        definition_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        document_formatting_provider: Some(OneOf::Left(true)),
        rename_provider: Some(OneOf::Left(true)),
        ..ServerCapabilities::default()
    };
    let version = Some(env!("CARGO_PKG_VERSION").to_owned());
    InitializeResult { capabilities, server_info: Some(ServerInfo { name: "quietrail".to_owned(), version }) }
}

fn refused(id: RequestId, code: ErrorCode, message: String) -> Message {
    Response::new_err(id, code as i32, message).into()
}

fn read<P: DeserializeOwned>(params: Value) -> Result<P, Refusal> {
    serde_json::from_value(params).map_err(|error| (ErrorCode::InvalidParams, error.to_string()))
}

fn to_value(answer: impl Serialize) -> Result<Value, Refusal> {
    serde_json::to_value(answer).map_err(|error| (ErrorCode::InternalError, error.to_string()))
}
