-- wrk -s serials.lua: asks for a random serial of the file SERIALS, at PAGE (a pattern with %s), with the COOKIE given.
math.randomseed(7)
local serials = {}
for line in io.lines(os.getenv("SERIALS")) do serials[#serials + 1] = line end
local page, cookie = os.getenv("PAGE"), os.getenv("COOKIE")
local headers = cookie and { ["Cookie"] = cookie } or nil
request = function()
  return wrk.format("GET", string.format(page, serials[math.random(1, #serials)]), headers)
end
