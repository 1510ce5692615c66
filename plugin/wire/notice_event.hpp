// Notices as CloudEvents, like the announcements (cloud_event.hpp), on <prefix>/notices/<kind>.
//
// `subject` is there for a notice about one jar. Each step's `say` can be published unchanged on
// <prefix>/say.
#pragma once

#include <string>
#include <vector>

#include "core/notice/notice.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

OutboxMessage outbox_message_of(const Notice& notice, const std::string& prefix,
                                const std::string& root_device, const std::string& sequence);

// {"steps":[{"at":...,"text":...,"say":{...}}]}; empty when there are none.
std::string steps_text(const std::vector<NoticeStep>& steps);

}  // namespace wheymark
