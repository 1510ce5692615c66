// What does this text from outside mean as JSON, and is it harmless?
//
// The one place where text becomes nlohmann::json. Copying and printing JSON recurse, the parser
// silently uses the last of two equal keys, and it stops at a NUL byte as if the text ended there;
// so depth, size, doubled keys and NUL bytes are refused here, once, for everybody. What comes out
// may be copied, printed and walked without further care.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "core/basis/ids.hpp"
#include "core/basis/result.hpp"

namespace wheymark {

// A configuration is written by a person: comments are welcome and it may be long. A message is
// not.
enum class Comments { refused, allowed };

// The document in `text`. Refused with one sentence (with line and column where the syntax is
// wrong): empty or too long text, NUL bytes, invalid UTF-8, nesting deeper than
// limits::json_depth_max, a key twice in one object, a number too large for a double, anything
// after the document. The size limit is limits::configuration_bytes_max where comments are allowed,
// else limits::payload_bytes_max. The sentence never quotes the text beyond a key: it may hold a
// secret.
Result<nlohmann::json> parsed(std::string_view text, Comments comments);

// The value that a JSON Pointer (RFC 6901) leads to, or null. Not the JSON library's own way, which
// makes and splits texts at each reading and throws for some pointers that lead nowhere.
const nlohmann::json* value_at(const nlohmann::json& document, std::string_view pointer);

// JSON text without line breaks. Bytes that are not UTF-8 become U+FFFD; never throws for them.
std::string text_of(const nlohmann::json& value);

// A text as it is, any other value as JSON: how a value is compared with one of a configuration.
std::string plain_text_of(const nlohmann::json& value);

// A value found, for a sentence: its JSON text, cut after some 60 bytes; "an object", "an array".
std::string shown(const nlohmann::json& value);
std::string shown_text(std::string_view text);

// A key as one token of a JSON Pointer (RFC 6901, section 3): ~ becomes ~0 and / becomes ~1.
std::string pointer_token(std::string_view key);

// An id is its text.
template <class Thing>
void to_json(nlohmann::json& json, const Id<Thing>& id) {
  json = id.text();
}

}  // namespace wheymark
