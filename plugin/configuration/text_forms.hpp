// Does a text have the form that its use needs?
//
// Each function returns nothing when it does, and otherwise what is allowed, to end a sentence with
// ("found "Blue Jar"; allowed: ..."). No file is opened, no name looked up.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace wheymark {

using Form = std::optional<std::string> (*)(std::string_view text);

// One level of a topic: a to z, 0 to 9 and inner hyphens, up to limits::id_chars_max. (Homie 5
// itself would take outer hyphens; clients that were written for Homie 4 do not.)
std::optional<std::string> id_form(std::string_view text);

// A name to show: 1 to limits::name_bytes_max bytes without control characters.
std::optional<std::string> name_form(std::string_view text);

// A reason or a ref: 1 to limits::text_bytes_max bytes without NUL.
std::optional<std::string> remark_form(std::string_view text);

// A file name, whether it exists or not.
std::optional<std::string> file_form(std::string_view text);

// A topic to publish on or to subscribe to: no wildcards, no NUL, not the broker's own ($SYS,
// $share).
std::optional<std::string> topic_form(std::string_view text);

// A topic to put others below: as a topic, shorter, without empty levels.
std::optional<std::string> topic_prefix_form(std::string_view text);

// A JSON Pointer (RFC 6901).
std::optional<std::string> json_pointer_form(std::string_view text);

// mqtt://, mqtts://, ws:// or wss://, a host and perhaps a port; a path only for ws and wss. A user
// or password within is refused.
std::optional<std::string> broker_url_form(std::string_view text);

// A host or address and a port to listen on: "127.0.0.1:8078", "[::1]:8078".
std::optional<std::string> listen_form(std::string_view text);

// Whether an address that has listen_form is one that only this machine reaches.
bool is_loopback(std::string_view listen);

// An hour of the local day, as "07:00": two digits each, 00:00 to 23:59.
std::optional<std::string> hour_form(std::string_view text);

// An IANA time zone that this machine knows.
std::optional<std::string> time_zone_form(std::string_view text);

}  // namespace wheymark
