# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Writes each file as a raw string literal: NAMESPACE::FUNCTION(name) finds it at run time by its file name less ENDING,
# and gives nothing for another name.
set(body "")
foreach(file IN LISTS FILES)
  get_filename_component(name ${file} NAME)
  if(ENDING)
    string(REPLACE "${ENDING}" "" name ${name})
  endif()
  file(READ ${file} text)
  string(APPEND body "    if (name == \"${name}\") return R\"~~~(${text})~~~\";\n")
endforeach()
file(WRITE ${OUT} "#include <string_view>
namespace ${NAMESPACE} {
std::string_view ${FUNCTION}(std::string_view name);
std::string_view ${FUNCTION}(std::string_view name) {
${body}    return {};
}
} // namespace ${NAMESPACE}
")
