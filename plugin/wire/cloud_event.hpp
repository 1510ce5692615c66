// Announcements as CloudEvents 1.0 (CNCF, version 1.0.2) in JSON structured mode, on MQTT.
//
// Topic: <prefix>/events/<subject>/<kind>, QoS 1, not retained. `source` and `id` together name an
// event for ever; `time` is when it became true, not when it was sent, and `sequence` (a documented
// extension) has the order in which events were announced.
#pragma once

#include <string>

#include "core/announce/announcement.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

OutboxMessage outbox_message_of(const Announcement& announcement, const std::string& prefix,
                                const std::string& root_device, const std::string& sequence);

}  // namespace wheymark
