# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
# Writes each schema as a raw string literal: embedded_schema(name) finds it at run time.
set(body "")
foreach(file IN LISTS FILES)
  get_filename_component(name ${file} NAME)
  string(REPLACE ".schema.json" "" name ${name})
  file(READ ${file} text)
  string(APPEND body "    if (name == \"${name}\") return R\"~~~(${text})~~~\";\n")
endforeach()
file(WRITE ${OUT} "#include <string_view>\nnamespace downball::text {\nstd::string_view embedded_schema(std::string_view name);\nstd::string_view embedded_schema(std::string_view name) {\n${body}    return {};\n}\n} // namespace downball::text\n")
