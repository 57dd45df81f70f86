// What each element of an SVG file is to a still, flat picture.
#pragma once

#include <string_view>

namespace buckram::artwork {

enum class Role {
  group,
  nested,
  symbol,
  reference,
  choice,
  shape,
  text,  // set into outlines
  image,
  foreign,
  unseen,
  unknown
};

// By local name, of SVG 1.1 and 2.
Role role_of(std::string_view name);

}  // namespace buckram::artwork
